import type { DriveId } from '../logic/sequence.ts';

/** A slow fault of one drive that ends in its failure: which lever, from when, how long and how bent its course is. */
export interface Decline {
  readonly lever: DeclineLever;
  readonly target: DriveId;
  readonly beginsS: number;
  /** From its beginning to the failure. */
  readonly lastsS: number;
  /** 1 = straight, 2 = slow at first and then faster. */
  readonly bend: number;
}

export type DeclineLever = keyof typeof FAILURE_SIZE;

/** How far a lever has gone when the drive fails. */
export const FAILURE_SIZE = {
  /** The bearing seizes: the end of the lever's own scale. */
  'bearing-wear': 1,
  /** Five times the drop: the filter's cage is crushed or the fan stalls. Invented. */
  'filter-loading': 1,
  /** A leg is shut down by its motion switch: 29 CFR 1910.272(q). */
  'elevator-slip': 0.2,
  /** The belt burns through. Invented. */
  'deck-belt-slip': 0.2,
  /** The deck does not separate any more: the end of the lever's own scale. */
  'deck-out-of-tune': 1,
  /** The winding is hotter than insulation of class F bears (155 degC) at the usual load of a fan. */
  'phase-imbalance': 0.3,
  /** The linkage has come off. Invented. */
  'air-gate-drift': 25,
} as const;

/** How far the lever of a decline has gone at an instant; it stays where it failed. */
export function declineSize(decline: Decline, timeS: number): number {
  const gone = Math.min(1, Math.max(0, (timeS - decline.beginsS) / decline.lastsS));
  return FAILURE_SIZE[decline.lever] * gone ** decline.bend;
}

/** When the lever of a decline reaches a size, s; Infinity when it fails before. */
export function declineReachesS(decline: Decline, size: number): number {
  const share = size / FAILURE_SIZE[decline.lever];
  return share > 1 ? Infinity : decline.beginsS + decline.lastsS * share ** (1 / decline.bend);
}
