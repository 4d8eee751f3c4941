import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';

export interface FlowStepsRule {
  /** A new level counts when it lies this share away from the last one, of the larger of the two. */
  readonly stepRatio: number;
  /** Below this a flow is as good as nothing: from and to nothing is a change as well, but not within it. */
  readonly floor: number;
}

/** A level has settled when two means in a row differ by less than this share of the step that is looked for. */
const SETTLED_OF_STEP = 0.5;

/**
 * How often a flow went over to another level and stayed there for a while.
 *
 *     a step = a mean that lies stepRatio or more away from the last level, and near the mean before it
 *
 * Shape    means over equal intervals, about a minute each, oldest first, in; one count out. A ramp counts once, when it
 *          has arrived.
 * Units    x -> count
 * Unknown  none
 * Throws   RangeError when the ratio lies outside 0.01 to 1, the floor is not positive or a mean is negative.
 * Source   none; definition of this project.
 *
 * @example 100, 100, 120, 120, 119, 90, 90 with a ratio of 0.1: two steps
 */
export function flowSteps(means: readonly number[], { stepRatio, floor }: FlowStepsRule): number {
  expectWithin('flowSteps.stepRatio [1]', stepRatio, { low: 0.01, high: 1 });
  expectPositive('flowSteps.floor', floor);
  const isApart = (a: number, b: number, share: number) => Math.abs(a - b) >= share * Math.max(a, b, floor);
  let steps = 0;
  let level: number | null = null;
  for (const [index, mean] of means.entries()) {
    expectNotNegative(`flowSteps.means[${index}]`, mean);
    if (isApart(mean, means[index - 1] ?? mean, stepRatio * SETTLED_OF_STEP)) continue;
    if (level !== null && !isApart(mean, level, stepRatio)) continue;
    if (level !== null) steps += 1;
    level = mean;
  }
  return steps;
}
