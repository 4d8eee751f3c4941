/** The last readings of one tag, oldest overwritten first. Times must not go back. */
export interface HistoryRing {
  push(timeMs: number, value: number, quality: number): void;
  /** Readings with fromMs <= time <= toMs, oldest first, at most `limit` (0 = all). */
  read(range: {
    readonly fromMs: number;
    readonly toMs: number;
    readonly limit: number;
  }): readonly HistoryPoint[];
  oldestMs(): number | undefined;
}

export interface HistoryPoint {
  readonly timeMs: number;
  readonly value: number;
  readonly quality: number;
}

export function historyRing(capacity: number): HistoryRing {
  const times = new Float64Array(capacity);
  const values = new Float64Array(capacity);
  const qualities = new Uint8Array(capacity);
  let first = 0;
  let count = 0;

  const at = (k: number): HistoryPoint => {
    const i = (first + k) % capacity;
    return { timeMs: times[i] ?? 0, value: values[i] ?? 0, quality: qualities[i] ?? 0 };
  };

  /** Position of the first reading at or after `timeMs`. */
  function positionOf(timeMs: number): number {
    let low = 0;
    let high = count;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (at(middle).timeMs < timeMs) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  return {
    push(timeMs, value, quality) {
      const i = (first + count) % capacity;
      times[i] = timeMs;
      values[i] = value;
      qualities[i] = quality;
      if (count < capacity) count += 1;
      else first = (first + 1) % capacity;
    },
    read({ fromMs, toMs, limit }) {
      const points: HistoryPoint[] = [];
      for (let k = positionOf(fromMs); k < count; k += 1) {
        const point = at(k);
        if (point.timeMs > toMs || (limit > 0 && points.length >= limit)) break;
        points.push(point);
      }
      return points;
    },
    oldestMs: () => (count === 0 ? undefined : at(0).timeMs),
  };
}
