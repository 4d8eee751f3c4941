/** Milliseconds from source time to callback, and what came, from the moment it is opened. */
export interface LatencyLog {
  /** The whole part of a made-up value is the beat at which it was set. */
  add(change: { readonly sourceTimeMs: number; readonly value: number }, nowMs: number): void;
  /** Forgets everything so far: what comes before the measuring is warm-up. */
  open(): void;
  readonly count: number;
  /**
   * Share of what the plant offered that came: of every beat between the first and the last that was seen, which are
   * themselves cut by the opening and the end.
   */
  deliveredRatio(tags: number): number | null;
  percentile(share: number): number | null;
}

/** Whole milliseconds are counted up to this; anything later counts as this late. */
const LATEST_MS = 60_000;

export function latencyLog(): LatencyLog {
  const counts = new Uint32Array(LATEST_MS + 1);
  const beats = new Map<number, number>();
  let count = 0;
  return {
    add({ sourceTimeMs, value }, nowMs) {
      const beat = Math.floor(value);
      beats.set(beat, (beats.get(beat) ?? 0) + 1);
      const lateMs = Math.min(LATEST_MS, Math.max(0, Math.round(nowMs - sourceTimeMs)));
      counts[lateMs] = (counts[lateMs] ?? 0) + 1;
      count += 1;
    },
    open() {
      counts.fill(0);
      beats.clear();
      count = 0;
    },
    get count() {
      return count;
    },
    deliveredRatio(tags) {
      const [first, last] = [Math.min(...beats.keys()), Math.max(...beats.keys())];
      if (!(last - first > 1)) return null;
      let came = 0;
      for (const [beat, ofIt] of beats) if (beat > first && beat < last) came += ofIt;
      return came / ((last - first - 1) * tags);
    },
    percentile(share) {
      let left = share * count;
      if (count === 0) return null;
      for (const [lateMs, ofIt] of counts.entries()) {
        left -= ofIt;
        if (left <= 0) return lateMs;
      }
      return LATEST_MS;
    },
  };
}
