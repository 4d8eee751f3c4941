import type { Figure } from '#server/calc/figure.ts';

/** The value of a figure that a test expects to be known; an unknown one fails the test and says why it has no value. */
export function valueOf<Value extends number>(figure: Figure<Value>): Value {
  if (!figure.known)
    throw new Error(`expected a known figure, got one that is unknown because '${figure.because}'`);
  return figure.value;
}
