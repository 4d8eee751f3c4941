import type { Priority } from '../contract/alarm-message.ts';
import type { PriorityRow, ResponseCard } from '../contract/alarm-rule.ts';

/**
 * How urgent is an alarm, given how bad its consequence is and how long there is to respond?
 *
 *     priority = matrix[first row with withinMs >= respondWithinMs, else the last row][severity]
 *
 * Shape    one card and the matrix -> one priority
 * Units    ms
 * Throws   RangeError when the matrix has no row
 * Source   ISA-18.2 / IEC 62682: priority from consequence and time to respond; the matrix is the plant's own
 *
 * @example severe within 5 min, rows up to 3, 10 and 30 min: the row of 10 min
 */
export function priorityOfCard(card: ResponseCard, matrix: readonly PriorityRow[]): Priority {
  const row = matrix.find(({ withinMs }) => withinMs >= card.respondWithinMs) ?? matrix.at(-1);
  if (row === undefined)
    throw new RangeError('FIGURE_INPUT priorityOfCard.matrix: got 0 rows, expected >= 1');
  return row[card.severity];
}
