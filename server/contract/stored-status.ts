import { UNKNOWN_REASONS, type UnknownReason } from '../calc/unknown-reason.ts';
import type { Quality } from './reading.ts';

/** How a quality is stored: one small number beside each sample. `GAP` is a marker, not a reading. */
export const STORED_STATUS = { good: 0, uncertain: 1, bad: 2, stale: 3, gap: 4 } as const;
export type StoredStatus = (typeof STORED_STATUS)[keyof typeof STORED_STATUS];

/** Why a sample is as it is: 0 nothing to say, 1 to 99 an unknown figure's reason, from 100 the reasons below. */
export const STORED_REASON = { none: 0, late: 100, linkDown: 101, serverDown: 102, backfilled: 103 } as const;

export function storedStatus(quality: Quality): StoredStatus {
  return STORED_STATUS[quality];
}

export function storedReason(because: UnknownReason): number {
  return UNKNOWN_REASONS.indexOf(because) + 1;
}

/** Null where the stored number is none of an unknown figure. */
export function unknownReason(stored: number): UnknownReason | null {
  return UNKNOWN_REASONS[stored - 1] ?? null;
}
