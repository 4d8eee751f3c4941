import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';

/** How many equal vessels stand in series; three fit boots, beds and hoppers of unlike sizes well enough. */
const VESSELS = 3;

/**
 * What leaves a row of mixed vessels (boots, beds, hoppers) when this goes in.
 *
 *     out[n] = keep * out[n-1] + (1 - keep) * in[n],  keep = exp(-interval / (mixing / 3)),  three times over
 *
 * Shape    one flow in, the flow behind the vessels out, interval by interval. Before the first interval the flow stood
 *          still.
 * Units    x, s -> x
 * Unknown  none
 * Throws   RangeError when the mixing time is negative or the interval not positive.
 * Source   tanks-in-series model: Levenspiel, Chemical Reaction Engineering, 3rd ed. (1999), ch. 14, eq. 3 (from memory).
 *
 * @example without mixing, out is in; long after a step, out has reached it
 */
export function throughVessels(
  flow: Float64Array,
  times: { readonly mixingS: number; readonly intervalS: number },
): Float64Array {
  expectNotNegative('throughVessels.mixingS [s]', times.mixingS);
  expectPositive('throughVessels.intervalS [s]', times.intervalS);
  const keep = keepRatio(times);
  let out = Float64Array.from(flow);
  for (let vessel = 0; vessel < VESSELS && keep > 0; vessel += 1) {
    let left = out[0] ?? 0;
    out = out.map((value) => (left = keep * left + (1 - keep) * value));
  }
  return out;
}

/** How much later seed leaves the vessels than it came in, in the mean, counted in whole intervals as the flow is, s. */
export function vesselsDelayS(times: { readonly mixingS: number; readonly intervalS: number }): number {
  const keep = keepRatio(times);
  return (VESSELS * times.intervalS * keep) / (1 - keep);
}

function keepRatio({ mixingS, intervalS }: { mixingS: number; intervalS: number }): number {
  return mixingS === 0 ? 0 : Math.exp((-intervalS * VESSELS) / mixingS);
}
