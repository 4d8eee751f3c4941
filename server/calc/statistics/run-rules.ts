/** Rules by their number in the source. */
export type WesternElectricRule = 1 | 2 | 3 | 4;
export type NelsonRule = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8;

interface RunRule<Id> {
  readonly id: Id;
  /** How many of the latest points the rule looks at. */
  readonly points: number;
  readonly isBrokenBy: (points: readonly number[]) => boolean;
}

const atLeast = (count: number, limit: number) => (points: readonly number[]) =>
  points.filter((z) => z > limit).length >= count || points.filter((z) => z < -limit).length >= count;
const onOneSide = (points: readonly number[]) => points.every((z) => z > 0) || points.every((z) => z < 0);
const steps = (points: readonly number[]) => points.slice(1).map((z, index) => z - (points[index] ?? 0));
const alternates = (points: readonly number[]) => {
  const signs = steps(points).map(Math.sign);
  return signs.every((sign, index) => sign !== 0 && sign !== signs[index + 1]);
};

const WESTERN_ELECTRIC: readonly RunRule<WesternElectricRule>[] = [
  { id: 1, points: 1, isBrokenBy: atLeast(1, 3) },
  { id: 2, points: 3, isBrokenBy: atLeast(2, 2) },
  { id: 3, points: 5, isBrokenBy: atLeast(4, 1) },
  { id: 4, points: 8, isBrokenBy: onOneSide },
];

const NELSON: readonly RunRule<NelsonRule>[] = [
  { id: 1, points: 1, isBrokenBy: atLeast(1, 3) },
  { id: 2, points: 9, isBrokenBy: onOneSide },
  { id: 3, points: 6, isBrokenBy: (z) => steps(z).every((s) => s > 0) || steps(z).every((s) => s < 0) },
  { id: 4, points: 14, isBrokenBy: alternates },
  { id: 5, points: 3, isBrokenBy: atLeast(2, 2) },
  { id: 6, points: 5, isBrokenBy: atLeast(4, 1) },
  { id: 7, points: 15, isBrokenBy: (points) => points.every((z) => Math.abs(z) < 1) },
  { id: 8, points: 8, isBrokenBy: (points) => points.every((z) => Math.abs(z) > 1) },
];

/**
 * Which of the Western Electric rules the latest point breaks.
 *
 *     1: 1 point beyond 3;  2: 2 of 3 beyond 2, same side;  3: 4 of 5 beyond 1, same side;  4: 8 on one side
 *
 * Shape    points in standard deviations from the centre, oldest first, in; rules broken at the last one out. A point on
 *          the centre line breaks a run. Two of three may be broken by two points alone.
 * Units    1 -> none
 * Unknown  none
 * Throws   never
 * Source   Western Electric, Statistical Quality Control Handbook (1956).
 *
 * @example 2.1, 0.5, 2.2 breaks rule 2
 */
export function westernElectricRules(points: readonly number[]): readonly WesternElectricRule[] {
  return brokenRules(points, WESTERN_ELECTRIC);
}

/**
 * Which of Nelson's rules the latest point breaks.
 *
 *     1: beyond 3;  2: 9 on one side;  3: 6 rising or falling;  4: 14 alternating;  5: 2 of 3 beyond 2, same side;
 *     6: 4 of 5 beyond 1, same side;  7: 15 within 1;  8: 8 beyond 1 on either side
 *
 * Shape    points in standard deviations from the centre, oldest first, in; rules broken at the last one out. A point on
 *          the centre line breaks a run, a tie breaks a rise.
 * Units    1 -> none
 * Unknown  none
 * Throws   never
 * Source   Nelson, Journal of Quality Technology 16 (1984) 237.
 *
 * @example 0.1, 0.2, 0.3, 0.4, 0.5, 0.6 breaks rule 3
 */
export function nelsonRules(points: readonly number[]): readonly NelsonRule[] {
  return brokenRules(points, NELSON);
}

function brokenRules<Id>(points: readonly number[], rules: readonly RunRule<Id>[]): readonly Id[] {
  const broken = rules.filter(({ points: needed, isBrokenBy }) => {
    return points.length >= needed && isBrokenBy(points.slice(-needed));
  });
  return broken.map(({ id }) => id);
}
