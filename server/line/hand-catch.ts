import { MS_PER_HOUR } from '../calc/units.ts';
import type { InputRole } from '../contract/figure-provenance.ts';
import type { Stream } from '../contract/line-graph.ts';
import type { HandSample } from '../contract/records.ts';
import { unknownEstimate, type Estimate } from './estimate.ts';
import type { LineContext } from './line-context.ts';
import { givenInput } from './given-input.ts';

/** Results of a hand sample by which a person gives a stream its rate: what was caught, and for how long. */
const CAUGHT_MASS = 'catch-mass';
const CAUGHT_TIME = 'catch-time';
/** A reject changes with the seed and with every setting: by then the catch speaks of another time. */
const GOOD_FOR_MS = 4 * MS_PER_HOUR;
const S_PER_HOUR = 3600;

/** The rate of a stream that nobody weighs, from the latest timed catch by hand. It is uncertain, and grows stale. */
export function handCatch(context: LineContext, stream: Stream, role: InputRole): Estimate {
  const sample = latestSample(context, stream.id, (results) => rateOf(results) !== null);
  const estimate = estimateOf(context, sample);
  const takenMs = sample?.takenMs ?? null;
  context.trace?.(givenInput({ role, stream: stream.id, unit: 'kg/h', takenMs }, estimate));
  return estimate;
}

/** The newest sample of a stream that holds what is asked for. */
export function latestSample(
  { samples, frame }: LineContext,
  stream: string,
  holds: (results: HandSample['results']) => boolean,
): HandSample | null {
  let latest: HandSample | null = null;
  for (const sample of samples) {
    const isOne = sample.stream === stream && sample.takenMs <= frame.endMs && holds(sample.results);
    if (isOne && sample.takenMs >= (latest?.takenMs ?? -Infinity)) latest = sample;
  }
  return latest;
}

function estimateOf({ frame }: LineContext, sample: HandSample | null): Estimate {
  const value = sample === null ? null : rateOf(sample.results);
  if (sample === null || value === null) return unknownEstimate('not-measured');
  if (frame.endMs - sample.takenMs > GOOD_FOR_MS) return unknownEstimate('tag-stale');
  return { known: true, value, quality: 'uncertain', coveredRatio: 1, causes: null };
}

function rateOf(results: HandSample['results']): number | null {
  const mass = results[CAUGHT_MASS];
  const time = results[CAUGHT_TIME];
  if (mass?.unit !== 'kg' || time?.unit !== 's' || !(time.value > 0) || !(mass.value >= 0)) return null;
  return (mass.value / time.value) * S_PER_HOUR;
}
