import { oldestMs, newestMs, runningAt, type FlowStretch, type FlowTrack } from './flow-track.ts';

/**
 * Where the running totals of a tag stood when a lot or a shift began for it. Tracks forget after an hour; with its
 * anchor a total may be as long as it likes.
 */
export interface Anchor {
  readonly fromMs: number;
  readonly running: FlowStretch;
  /** Readings up to its time are all there: it stays as it is. */
  readonly isSettled: boolean;
}

/** By what began, then by tag. */
export type Anchors = ReadonlyMap<string, ReadonlyMap<string, Anchor>>;

export const NO_ANCHORS: Anchors = new Map();

/** Collects the anchors of one tick: those that are asked for stay, those of ended lots and shifts go. */
export class AnchorBook {
  readonly #before: Anchors;
  readonly #now = new Map<string, Map<string, Anchor>>();

  constructor(before: Anchors) {
    this.#before = before;
  }

  /** The running totals at `fromMs`, as they were when it passed. */
  runningAt(name: { anchor: string; tag: string }, track: FlowTrack, fromMs: number): FlowStretch {
    const known = this.#now.get(name.anchor)?.get(name.tag) ?? this.#before.get(name.anchor)?.get(name.tag);
    const anchor = known?.isSettled === true ? known : anchorAt(track, fromMs);
    const others = this.#now.get(name.anchor) ?? new Map<string, Anchor>();
    this.#now.set(name.anchor, others.set(name.tag, anchor));
    return anchor.running;
  }

  /** What the next tick may need. Figures of a second that was left out keep theirs. */
  kept(isNamed: (anchor: string) => boolean): Anchors {
    if (this.#now.size === 0 && [...this.#before.keys()].every(isNamed)) return this.#before;
    const left = [...this.#before].filter(([anchor]) => !this.#now.has(anchor) && isNamed(anchor));
    const merged = [...this.#now].map(([anchor, tags]) => {
      return [anchor, new Map([...(this.#before.get(anchor) ?? []), ...tags])] as const;
    });
    return new Map([...left, ...merged]);
  }
}

/** Anchors after readings of the past have come in: those that the track still reaches are taken anew. */
export function reanchored(anchors: Anchors, tracks: ReadonlyMap<string, FlowTrack>): Anchors {
  const renewed = (tag: string, anchor: Anchor): Anchor => {
    const track = tracks.get(tag);
    const startMs = track === undefined ? null : oldestMs(track);
    if (track === undefined || startMs === null || anchor.fromMs < startMs) return anchor;
    return anchorAt(track, anchor.fromMs);
  };
  return new Map(
    [...anchors].map(([name, tags]) => [
      name,
      new Map([...tags].map(([tag, anchor]) => [tag, renewed(tag, anchor)])),
    ]),
  );
}

function anchorAt(track: FlowTrack, fromMs: number): Anchor {
  const isSettled = (newestMs(track) ?? -Infinity) >= fromMs;
  return { fromMs, running: runningAt(track, fromMs, 0), isSettled };
}
