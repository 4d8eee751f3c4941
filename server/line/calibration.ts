import type { Stream } from '../contract/line-graph.ts';
import { latestSample } from './hand-catch.ts';
import type { LineContext } from './line-context.ts';

/** Result of a hand sample at a liquid stream by which a person says that the pump was caught and timed. */
const CAUGHT_VOLUME = 'catch-volume';

/**
 * Whether a pump's flow may be trusted: it was proven by a catch test in this lot and lately enough, or its own tank
 * stands on a scale, which proves it all the time.
 */
export function isCalibrated(context: LineContext, liquid: Stream): boolean {
  const { liquid: facts } = liquid;
  // Of a pump of which nothing is said there is no calibration to be overdue.
  if (facts === undefined || facts.tankMassTag !== null) return true;
  const test = latestSample(context, liquid.id, (results) => CAUGHT_VOLUME in results);
  if (test === null) return false;
  const isOfThisLot = context.lot === null || test.takenMs >= context.lot.startedMs;
  return isOfThisLot && context.frame.endMs - test.takenMs <= facts.calibrationMsMax;
}
