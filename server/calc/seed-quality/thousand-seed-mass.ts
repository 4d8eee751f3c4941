import { expectPositive } from '../expect-positive.ts';
import { figureInputError } from '../figure-input-error.ts';
import { summaryOf } from '../statistics/summary-of.ts';
import {
  gramsPerThousandSeeds,
  ratio,
  type Grams,
  type GramsPerThousandSeeds,
  type Ratio,
} from '../units.ts';

export interface ThousandSeedMass {
  readonly mass: GramsPerThousandSeeds;
  readonly variation: Ratio;
  /** False when the replicates differ too much: weigh as many again. */
  readonly stands: boolean;
}

const REPLICATES_MIN = 8;

/**
 * What a thousand seeds weigh, from replicates of a hundred.
 *
 *     mass = 10 * mean(replicates);  variation = standard deviation (n - 1) / mean;  stands when variation <= limit
 *
 * Shape    at least eight replicates in, one mass and a verdict out.
 * Units    g -> g/1000 seeds, 1
 * Unknown  none
 * Throws   RangeError when there are fewer than eight replicates, or one or the limit is not positive.
 * Source   ISTA Rules, chapter 10, from memory: the limit is 0.04, and 0.06 for chaffy grasses.
 *
 * @example eight replicates of 17.45 g: 174.5 g
 */
export function thousandSeedMass(replicates: readonly Grams[], variationMax: Ratio): ThousandSeedMass {
  if (replicates.length < REPLICATES_MIN) {
    throw figureInputError(
      'thousandSeedMass.replicates count [1]',
      replicates.length,
      `>= ${REPLICATES_MIN}`,
    );
  }
  for (const [index, mass] of replicates.entries()) {
    expectPositive(`thousandSeedMass.replicates[${index}] [g]`, mass);
  }
  expectPositive('thousandSeedMass.variationMax [1]', variationMax);
  const { mean, standardDeviation } = summaryOf(replicates);
  const variation = ratio(standardDeviation / mean);
  return { mass: gramsPerThousandSeeds(10 * mean), variation, stands: variation <= variationMax };
}
