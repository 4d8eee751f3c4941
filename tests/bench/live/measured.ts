/** What one side of the comparison measured over one round. */
export interface Measured {
  readonly count: number;
  /** Of what the plant offered; null when nothing came. */
  readonly deliveredRatio: number | null;
  /** Null where the system does not tell what a process used. */
  readonly cpuMs: number | null;
  readonly p50Ms: number | null;
  readonly p99Ms: number | null;
}

/** CPU microseconds for each change that was delivered. */
export function cpuUsPerChange({ count, cpuMs }: Measured): number | null {
  return cpuMs === null || count === 0 ? null : (cpuMs * 1000) / count;
}

/** Several rounds as one: counts and CPU add up, the worst delivery counts, of the percentiles the median of the rounds. */
export function together(rounds: readonly Measured[]): Measured {
  const cpu = rounds.map(({ cpuMs }) => cpuMs);
  return {
    count: rounds.reduce((sum, { count }) => sum + count, 0),
    deliveredRatio: leastOf(rounds.map(({ deliveredRatio }) => deliveredRatio)),
    cpuMs: cpu.includes(null) ? null : cpu.reduce<number>((sum, each) => sum + (each ?? 0), 0),
    p50Ms: medianOf(rounds.map(({ p50Ms }) => p50Ms)),
    p99Ms: medianOf(rounds.map(({ p99Ms }) => p99Ms)),
  };
}

function leastOf(values: readonly (number | null)[]): number | null {
  return values.includes(null) ? null : Math.min(...values.map((value) => value ?? 0));
}

function medianOf(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null).toSorted((a, b) => a - b);
  return known.length === 0 ? null : (known[Math.floor(known.length / 2)] ?? null);
}
