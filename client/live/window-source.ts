import { snapshotStore, type Followed } from './snapshot-store.ts';
import type { TimeWindow } from './trend-view.ts';

export interface WindowQuestion<Answer> {
  /** What is looked at; it may change sixty times a second. */
  readonly window: Followed<TimeWindow>;
  readonly nothing: Answer;
  readonly ask: (stretch: TimeWindow, signal: AbortSignal) => Promise<Answer>;
  /** Longer windows are not asked for: the answer would be too long, or too fine to be seen. */
  readonly spanMsMax?: number;
}

/** Something that belongs to a window of time, fetched where the window comes to rest. */
export interface WindowSource<Answer> {
  readonly answer: Followed<Answer>;
  readonly start: () => () => void;
  /** Asks again for what is looked at, as after something was written. */
  readonly again: () => void;
}

const SETTLE_MS = 200;
const MARGIN_SHARE = 0.5;
/** A window this much shorter than what was fetched deserves a finer answer. */
const ZOOM_MAX = 3;

/**
 * Keeps the answer for a window that moves. More than the window is asked for, and asked again when the window leaves
 * that or has become much shorter; what is there stays until the next answer, and a late answer is dropped.
 */
export function windowSource<Answer>(question: WindowQuestion<Answer>): WindowSource<Answer> {
  const answer = snapshotStore(question.nothing);
  let known: TimeWindow | null = null;
  let asking = new AbortController();
  let settling: number | undefined;

  function settle() {
    if (settling !== undefined || isCovered(known, question.window.get())) return;
    settling = window.setTimeout(() => {
      settling = undefined;
      ask();
    }, SETTLE_MS);
  }

  function ask() {
    asking.abort();
    asking = new AbortController();
    const { signal } = asking;
    const { fromMs, toMs } = question.window.get();
    if (toMs - fromMs > (question.spanMsMax ?? Infinity)) {
      known = null;
      answer.set(question.nothing);
      return;
    }
    known = withMargin({ fromMs, toMs });
    question.ask(known, signal).then(
      (found) => {
        if (!signal.aborted) answer.set(found);
      },
      () => {
        // What is there stays; the next move of the window asks again.
        if (!signal.aborted) known = null;
      },
    );
  }

  return {
    answer,
    again: ask,
    start() {
      const stop = question.window.subscribe(settle);
      settle();
      return () => {
        stop();
        asking.abort();
        window.clearTimeout(settling);
        [known, settling] = [null, undefined];
      };
    },
  };
}

function withMargin({ fromMs, toMs }: TimeWindow): TimeWindow {
  const marginMs = (toMs - fromMs) * MARGIN_SHARE;
  return { fromMs: Math.max(0, fromMs - marginMs), toMs: toMs + marginMs };
}

function isCovered(known: TimeWindow | null, { fromMs, toMs }: TimeWindow): boolean {
  if (known === null || known.fromMs > fromMs || known.toMs < toMs) return false;
  return known.toMs - known.fromMs <= (toMs - fromMs) * (1 + 2 * MARGIN_SHARE) * ZOOM_MAX;
}
