import { figureInputError } from '../figure-input-error.ts';

/** Throws unless the value is a probability that leaves something to chance: more than 0 and less than 1. */
export function expectProbability(subject: string, value: number): void {
  const isProbability = value > 0 && value < 1;
  if (!isProbability) throw figureInputError(subject, value, 'more than 0 and less than 1');
}
