import { summaryOf } from '#server/calc/statistics/summary-of.ts';
import type { ConditionPoint } from '#server/machines/step-point.ts';

/** Widths that are tried, in standard deviations of the raw signal while the machine was well. */
export const WIDTHS: readonly number[] = Array.from({ length: 57 }, (_, i) => 2 + i * 0.25);

/** A plain fixed limit on each raw signal, high and low, for every width at once. */
export interface FixedLimits {
  watch(timeMs: number, points: ReadonlyMap<string, ConditionPoint>): void;
  /** When a machine's notice was opened at a width; one notice for a machine, whatever its signals. */
  openings(machine: string, width: number): readonly number[];
  countOpenings(width: number): number;
}

/** Half an hour beyond the limit, which is generous to it: three points of ten minutes. */
const POINTS_HELD = 3;
/** A notice is over after a day of running within the limits. */
const POINTS_BACK = 96;
/** Not derived: what a plain limit is set on. */
const DERIVED = new Set(['current-unbalance', 'belt-ratio']);

interface Range {
  readonly mean: number;
  readonly deviation: number;
}

interface Notice {
  beyond: number;
  within: number;
  isOpen: boolean;
  openings: number[];
}

export function fixedLimits(healthy: ReadonlyMap<string, readonly ConditionPoint[]>): FixedLimits {
  const ranges = new Map([...healthy].map(([machine, points]) => [machine, rangesOf(points)]));
  const notices = new Map(
    [...healthy.keys()].map((machine) => [
      machine,
      WIDTHS.map((): Notice => ({ beyond: 0, within: 0, isOpen: false, openings: [] })),
    ]),
  );
  return {
    watch(timeMs, points) {
      for (const [machine, point] of points) {
        const distance = farthest(point, ranges.get(machine) ?? new Map());
        for (const [index, notice] of (notices.get(machine) ?? []).entries())
          follow(notice, distance > (WIDTHS[index] ?? Infinity), timeMs);
      }
    },
    openings: (machine, width) => notices.get(machine)?.[WIDTHS.indexOf(width)]?.openings ?? [],
    countOpenings(width) {
      const index = WIDTHS.indexOf(width);
      return [...notices.values()].reduce((sum, own) => sum + (own[index]?.openings.length ?? 0), 0);
    },
  };
}

function rangesOf(points: readonly ConditionPoint[]): ReadonlyMap<string, Range> {
  const names = new Set(points.flatMap(({ signals }) => [...signals.keys()]));
  const ranges = new Map<string, Range>();
  for (const name of names) {
    if (DERIVED.has(name)) continue;
    const values = points.flatMap(({ signals }) => signals.get(name) ?? []);
    const { mean, standardDeviation } = summaryOf(values);
    ranges.set(name, { mean, deviation: Math.max(standardDeviation, Math.abs(mean) * 1e-3) });
  }
  return ranges;
}

function farthest({ signals }: ConditionPoint, ranges: ReadonlyMap<string, Range>): number {
  let distance = 0;
  for (const [name, value] of signals) {
    const range = ranges.get(name);
    if (range !== undefined) distance = Math.max(distance, Math.abs(value - range.mean) / range.deviation);
  }
  return distance;
}

function follow(notice: Notice, isBeyond: boolean, timeMs: number): void {
  notice.beyond = isBeyond ? notice.beyond + 1 : 0;
  notice.within = isBeyond ? 0 : notice.within + 1;
  if (notice.isOpen) {
    if (notice.within >= POINTS_BACK) notice.isOpen = false;
    return;
  }
  if (notice.beyond < POINTS_HELD) return;
  notice.isOpen = true;
  notice.openings.push(timeMs);
}
