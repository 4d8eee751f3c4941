import { EMPTY_SUMMARY, withValue, type RunningSummary } from '../calc/statistics/running-summary.ts';
import { MS_PER_MINUTE } from '../calc/units.ts';
import type { Estimate } from './estimate.ts';

/** How the dose of a lot has differed from minute to minute so far. */
export interface DoseSpread {
  readonly lot: number;
  readonly minute: number;
  readonly summary: RunningSummary;
}

/** The spread with the dose of now, once a minute; a minute without a dose is left out. */
export function withDose(
  before: DoseSpread | null,
  at: { readonly lot: number | null; readonly timeMs: number },
  dose: () => Estimate,
): DoseSpread | null {
  if (at.lot === null) return null;
  const minute = Math.floor(at.timeMs / MS_PER_MINUTE);
  const spread = before?.lot === at.lot ? before : { lot: at.lot, minute, summary: EMPTY_SUMMARY };
  if (spread.minute === minute) return spread;
  const now = dose();
  return { ...spread, minute, summary: now.known ? withValue(spread.summary, now.value) : spread.summary };
}
