import { expectPositive } from '../expect-positive.ts';
import { expectProbability } from './expect-probability.ts';

/**
 * The level of one test, when many are made and all together may raise a false alarm with a given probability.
 *
 *     level of one = 1 - (1 - level of all)^(1 / tests)
 *
 * Shape    the joint level and the number of tests in, one level out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError unless the level lies between 0 and 1 and there is a test.
 * Source   Sidak, J. Amer. Statist. Assoc. 62 (1967) 626.
 *
 * @example of six tests at 5 % together, each is made at 0.8512 %
 */
export function sidakLevel(level: number, tests: number): number {
  expectProbability('sidakLevel.level [1]', level);
  expectPositive('sidakLevel.tests [1]', tests);
  return 1 - (1 - level) ** (1 / tests);
}
