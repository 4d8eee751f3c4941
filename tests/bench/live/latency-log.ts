/** Milliseconds from source time to callback, and how many came, from the moment it is opened. */
export interface LatencyLog {
  add(sourceTimeMs: number, nowMs: number): void;
  /** Forgets everything so far: what comes before the measuring is warm-up. */
  open(): void;
  readonly count: number;
  percentile(share: number): number | null;
}

/** Whole milliseconds are counted up to this; anything later counts as this late. */
const LATEST_MS = 60_000;

export function latencyLog(): LatencyLog {
  const counts = new Uint32Array(LATEST_MS + 1);
  let count = 0;
  return {
    add(sourceTimeMs, nowMs) {
      const lateMs = Math.min(LATEST_MS, Math.max(0, Math.round(nowMs - sourceTimeMs)));
      counts[lateMs] = (counts[lateMs] ?? 0) + 1;
      count += 1;
    },
    open() {
      counts.fill(0);
      count = 0;
    },
    get count() {
      return count;
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
