import { figureInputError } from './figure-input-error.ts';

/** Throws when the value is no number at all: a missing reading is a plant condition and never reaches a calculation. */
export function expectFinite(subject: string, value: number): void {
  if (!Number.isFinite(value)) throw figureInputError(subject, value, 'a finite number');
}
