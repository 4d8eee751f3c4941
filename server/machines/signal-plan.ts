import type { ResidualKind } from '../contract/machine-health.ts';

/** What is normal for a signal depends on these; how it is watched and when it has gone too far. */
export interface SignalPlan {
  readonly signal: string;
  readonly residual: ResidualKind;
  /**
   * Names of influences. `-squared` behind one takes its square; `-past` takes what it has been over the last while, for
   * what is slow to warm.
   */
  readonly explainedBy: readonly string[];
  /** Time after a start until the signal tells anything. */
  readonly settleMs: number;
  /** A deviation below this is of no interest to anybody, however sure it is. */
  readonly smallest: number;
  /** Moves on many machines alike when voltage or weather changes: what they have in common is taken off. */
  readonly isShared: boolean;
  /** Where it has to be repaired: a deviation each way, or a value whatever the load; null where none is set. */
  readonly limits: SignalLimits;
}

export interface SignalLimits {
  readonly deviationHigh: number | null;
  readonly deviationLow: number | null;
  readonly valueHigh: number | null;
}

/** One motor and what it turns, as it is watched. */
export interface MachinePlan {
  readonly machine: string;
  /** Chooses the causes that can be. */
  readonly kind: string;
  readonly signals: readonly SignalPlan[];
}

export const MS_PER_DAY = 86_400_000;
