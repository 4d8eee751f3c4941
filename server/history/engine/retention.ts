import type { StoredSeries } from '../../ports/sample-store.ts';

/** How long the series of a class are kept. The first class that fits a series is its own. */
export interface RetentionClass {
  /** Left out, the class fits every kind, interpolation or name. */
  readonly kind?: StoredSeries['kind'];
  readonly interpolation?: StoredSeries['interpolation'];
  readonly nameStartsWith?: string;
  /** Null keeps all. Whole days (UTC) are dropped, once the last of the day is older. */
  readonly keepRawMs: number | null;
  /** Minutes and hours stay at least as long as the samples they came from. */
  readonly keepRollupsMs: number | null;
}

export interface Retention {
  readonly classes: readonly RetentionClass[];
  /** Above this the oldest day of samples is dropped, of every series; null lets the file grow. */
  readonly mostBytes: number | null;
}

export const KEEP_ALL: Retention = { classes: [], mostBytes: null };

/** Before which time samples and rollups of a series go; -Infinity where all is kept. */
export interface Horizon {
  readonly rawMs: number;
  readonly rollupsMs: number;
}

export function horizonOf(series: StoredSeries, retention: Retention, nowMs: number): Horizon {
  const own = retention.classes.find((candidate) => fits(series, candidate));
  const rawMs = own === undefined || own.keepRawMs === null ? -Infinity : nowMs - own.keepRawMs;
  const rollupsMs = own === undefined || own.keepRollupsMs === null ? -Infinity : nowMs - own.keepRollupsMs;
  return { rawMs, rollupsMs: Math.min(rawMs, rollupsMs) };
}

function fits(series: StoredSeries, candidate: RetentionClass): boolean {
  return (
    (candidate.kind === undefined || candidate.kind === series.kind) &&
    (candidate.interpolation === undefined || candidate.interpolation === series.interpolation) &&
    series.name.startsWith(candidate.nameStartsWith ?? '')
  );
}
