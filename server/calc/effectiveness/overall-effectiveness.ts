import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { known, unknown, type Figure } from '../figure.ts';
import {
  MS_PER_HOUR,
  ratio,
  type Kilograms,
  type KilogramsPerHour,
  type Milliseconds,
  type Ratio,
} from '../units.ts';

export interface EffectivenessInputs {
  /** Planned busy time (PBT): planned stops are not in it. */
  readonly plannedBusy: Milliseconds;
  /** Actual production time (APT): planned busy time less every stop. */
  readonly actualProduction: Milliseconds;
  /** By crop; its inverse is the standard's planned run time per item. */
  readonly ratedRate: KilogramsPerHour;
  readonly produced: Kilograms;
  readonly good: Kilograms;
}

export interface Effectiveness {
  readonly availability: Figure<Ratio>;
  readonly effectiveness: Figure<Ratio>;
  readonly qualityRatio: Figure<Ratio>;
  readonly overall: Figure<Ratio>;
}

/**
 * How well the planned time was used: availability, effectiveness, quality, and their product (OEE).
 *
 *     availability = actualProduction / plannedBusy;  effectiveness = produced / (ratedRate * actualProduction)
 *     quality ratio = good / produced;  overall = availability * effectiveness * quality ratio
 *
 * Shape    totals of one shift or lot in, four figures out.
 * Units    ms, ms, kg/h, kg, kg -> 1
 * Unknown  'line-stopped' where a figure would divide by zero, and for the overall where any of the three is unknown.
 * Throws   RangeError when a total is negative or the rated rate not positive.
 * Source   ISO 22400-2. An effectiveness above 1 is kept: it says that the rated rate is set too low.
 *
 * @example 460 min planned, 400 run, 120 pieces/h rated, 400 made, 392 good: 86.96 %, 50 %, 98 %, overall 42.61 %
 */
export function overallEffectiveness(inputs: EffectivenessInputs): Effectiveness {
  const { plannedBusy, actualProduction, ratedRate, produced, good } = inputs;
  expectNotNegative('overallEffectiveness.plannedBusy [ms]', plannedBusy);
  expectNotNegative('overallEffectiveness.actualProduction [ms]', actualProduction);
  expectPositive('overallEffectiveness.ratedRate [kg/h]', ratedRate);
  expectNotNegative('overallEffectiveness.produced [kg]', produced);
  expectNotNegative('overallEffectiveness.good [kg]', good);

  const availability = quotient(actualProduction, plannedBusy);
  const effectiveness = quotient(produced, (ratedRate * actualProduction) / MS_PER_HOUR);
  const qualityRatio = quotient(good, produced);
  const isKnown = availability.known && effectiveness.known && qualityRatio.known;
  const overall = isKnown
    ? known(ratio(availability.value * effectiveness.value * qualityRatio.value))
    : unknown<Ratio>('line-stopped');
  return { availability, effectiveness, qualityRatio, overall };
}

function quotient(part: number, whole: number): Figure<Ratio> {
  return whole > 0 ? known(ratio(part / whole)) : unknown('line-stopped');
}
