import { expectFinite } from './expect-finite.ts';
import { figureInputError } from './figure-input-error.ts';

/** Throws when the value is negative, infinite or not a number. The subject reads `<function>.<argument> [<unit>]`. */
export function expectNotNegative(subject: string, value: number): void {
  expectFinite(subject, value);
  if (value < 0) throw figureInputError(subject, value, '>= 0');
}
