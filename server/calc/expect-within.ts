import { expectFinite } from './expect-finite.ts';
import { figureInputError } from './figure-input-error.ts';

/** The ends of a range, both belonging to it. */
export interface Ends {
  readonly low: number;
  readonly high: number;
}

/** Throws when the value lies outside the range; both ends are inside. */
export function expectWithin(subject: string, value: number, ends: Ends): void {
  expectFinite(subject, value);
  const isOutside = value < ends.low || value > ends.high;
  if (isOutside) throw figureInputError(subject, value, `${ends.low} to ${ends.high}`);
}
