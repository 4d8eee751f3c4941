import { expectFinite } from './expect-finite.ts';
import { figureInputError } from './figure-input-error.ts';

/** Throws when the value is zero, negative, infinite or not a number. */
export function expectPositive(subject: string, value: number): void {
  expectFinite(subject, value);
  if (value <= 0) throw figureInputError(subject, value, '> 0');
}
