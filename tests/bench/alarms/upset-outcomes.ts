import type { OnDelays } from './fixed-limits.ts';
import type { Annunciation, RunResult } from './play-run.ts';
import { isRelevant, UPSET_KINDS, type UpsetKind, type UpsetRun } from './upset-runs.ts';

/** Seconds from onset to the first relevant alarm; null where there was none before the run ended. */
export interface Delays {
  readonly ours: number | null;
  readonly fixed: Readonly<Record<OnDelays, number | null>>;
}

export interface KindOutcome {
  readonly kind: UpsetKind;
  readonly delays: readonly Delays[];
}

export function outcomesByKind(
  runs: readonly UpsetRun[],
  results: readonly RunResult[],
): readonly KindOutcome[] {
  const delays = runs.map((run, at) => ({ run, delays: delaysOf(run, results[at]) }));
  return UPSET_KINDS.map((kind) => ({
    kind,
    delays: delays.filter(({ run }) => run.kind === kind).map((entry) => entry.delays),
  })).filter((outcome) => outcome.delays.length > 0);
}

function delaysOf(run: UpsetRun, result: RunResult | undefined): Delays {
  const first = (told: readonly Annunciation[] | undefined) => firstDelay(run, told ?? []);
  return {
    ours: first(result?.ours),
    fixed: {
      'starting-values': first(result?.fixed?.['starting-values']),
      none: first(result?.fixed?.none),
    },
  };
}

function firstDelay({ kind, watch }: UpsetRun, told: readonly Annunciation[]): number | null {
  const { onsetS } = watch.upset;
  const found = told.find(({ subject, timeS }) => timeS >= onsetS && isRelevant(kind, subject));
  return found === undefined ? null : found.timeS - onsetS;
}

/**
 * How long ours took beside fixed limits, run by run: below 1 ours came first.
 *
 *     ratio = ours / fixed;  only fixed found it: Infinity;  only ours: 0;  neither, or both at once: 1
 */
export function ratioOf({ ours, fixed }: Delays, delays: OnDelays): number {
  const other = fixed[delays];
  if (ours === null) return other === null ? 1 : Infinity;
  if (other === null) return 0;
  return ours === other ? 1 : ours / other;
}

/** The value at a share of the sorted values; a run that never alarmed sorts last. */
export function atShare(values: readonly (number | null)[], share: number): number | null {
  const sorted = values.map((value) => value ?? Infinity).toSorted((a, b) => a - b);
  const value = sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Infinity;
  return Number.isFinite(value) ? value : null;
}

export function medianOf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length / 2;
  const [low, high] = [sorted[Math.ceil(middle) - 1] ?? NaN, sorted[Math.floor(middle)] ?? NaN];
  return low === high ? low : (low + high) / 2;
}
