import { figureInputError } from './figure-input-error.ts';

/** Throws when an instant lies before the one that precedes it in the list; equal instants are in order. */
export function expectInTimeOrder(subject: string, instants: readonly { readonly timeMs: number }[]): void {
  for (const [index, instant] of instants.entries()) {
    const before = instants[index - 1]?.timeMs ?? Number.NEGATIVE_INFINITY;
    const isInOrder = instant.timeMs >= before;
    if (!isInOrder) throw figureInputError(`${subject}[${index}].timeMs`, instant.timeMs, `>= ${before}`);
  }
}
