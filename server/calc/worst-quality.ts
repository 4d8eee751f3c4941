/** From best to worst. A stale value was good once; a bad one never was. */
const FROM_BEST_TO_WORST = ['good', 'uncertain', 'stale', 'bad'] as const;

export type InputQuality = (typeof FROM_BEST_TO_WORST)[number];

/**
 * How far a figure may be trusted, given the readings it is made of.
 *
 *     quality of the figure = worst quality of its inputs, of 'good', 'uncertain', 'stale', 'bad' in this order
 *
 * Shape    the qualities of all inputs in, one quality out; a figure of no inputs is 'good'.
 * Units    none
 * Unknown  none
 * Throws   never
 * Source   rule of this project; the first two and the last are the severities of OPC UA Part 4, 7.39.
 *
 * @example 'good', 'uncertain', 'good' is 'uncertain'
 */
export function worstQuality(qualities: readonly InputQuality[]): InputQuality {
  const worst = Math.max(0, ...qualities.map((quality) => FROM_BEST_TO_WORST.indexOf(quality)));
  return FROM_BEST_TO_WORST[worst] ?? 'bad';
}
