import { logisticPartition, lynchRaoPartition, overloaded } from '../partition.ts';
import { blurOf, type TakenShare } from './separator.ts';

const ASPIRATOR_SHARPNESS = 11;
const LENGTH_ERROR_RATIO = 0.045;
/** Pockets that a seed lies in badly lift nothing. */
const POCKET_MISSED = 0.06;

/** What the aspirator lifts: all that falls slower than its air rises. */
export const liftingsShare: TakenShare = (population, i, { crop, condition }) => {
  const sharpness = ASPIRATOR_SHARPNESS / blurOf(condition) / (1 + Math.max(0, condition.load - 1));
  const velocity = population.velocityMPerS[i] ?? 0;
  return 1 - lynchRaoPartition(velocity, crop.cuts.aspiratorMPerS * condition.air, sharpness);
};

/**
 * What the length grader takes: shorts lifted by the first cylinder's pockets, longs left by the second's.
 *
 * A higher trough lip catches less and a faster cylinder carries higher: both move the shorts' cut.
 */
export const shortsShare: TakenShare = (population, i, { crop, condition }) => {
  const { settings, cuts } = crop;
  const trough = 1 - 0.004 * (settings.troughAngleDeg - STANDARD_TROUGH_DEG);
  const turning = 1 + 0.25 * (condition.strokes - 1);
  const length = population.lengthMm[i] ?? 0;
  const cutAt = (at: number) =>
    overloaded({ at, probableError: at * LENGTH_ERROR_RATIO * blurOf(condition) }, condition.load);
  const short =
    (1 - logisticPartition(length, cutAt(cuts.shortsMm * trough * turning))) * (1 - POCKET_MISSED);
  const long = logisticPartition(length, cutAt(cuts.longsMm));
  return 1 - (1 - short) * (1 - long);
};

const STANDARD_TROUGH_DEG = 45;
