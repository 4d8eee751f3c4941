import { expectPositive } from '../expect-positive.ts';
import { figureInputError } from '../figure-input-error.ts';
import { changesOver, overlayFit, scoreInflation, type Overlay, type OverlayFit } from './flow-changes.ts';
import { throughVessels, vesselsDelayS } from './through-vessels.ts';

export interface LagFitInputs {
  /** Mean flows of equal intervals, oldest first: both of the same time and length. */
  readonly feed: readonly number[];
  readonly stream: readonly number[];
  readonly intervalS: number;
  /** No lag beyond this is looked for. */
  readonly lagSMax: number;
}

export interface LagFit {
  /** Mean time from the feed to the stream. */
  readonly lagS: number;
  /** Half-width of its 95 % interval. */
  readonly halfWidthS: number;
  /** How well the changes of the stream follow those of the feed where they fit best, 0 to 1. */
  readonly correlation: number;
}

interface Candidate {
  readonly lagS: number;
  readonly overlay: Overlay;
  readonly fit: OverlayFit;
}

/** Changes are taken over this time: long beside the scatter of scales, short beside the drift of a lot's composition. */
const CHANGE_S = 120;
const MIXINGS_S = [0, 10, 20, 30, 40, 50, 60, 75, 90, 105, 120, 150, 180, 240];
/** Fewer changes one after the other than this say nothing. */
const CHANGES_MIN = 4;
const NORMAL_95 = 1.96;

/**
 * How long seed takes from the feed to a stream, from how the changes of the one come again in the other.
 *
 *     expected = changes of the feed, mixed over m and delayed by d;  lag = d + mean delay of the mixing
 *     unexplained(d, m) = sum of squares of (changes of the stream - gain * expected), the gain fitted
 *     weight(d, m) = exp(-n / 2 * (unexplained / least - 1));  lag = weighted mean, half-width = 1.96 weighted deviations
 *     n = changes / inflation, because neighbouring changes are not independent
 *
 * Shape    two flows over the same time in, one lag out. The peak of a plain cross-correlation would come too early: seed
 *          that lies long in a bed spreads far behind the peak. What the scales' damping adds is in it.
 * Units    x, s -> s
 * Unknown  null when the time is short beside the longest lag, nothing of the stream follows the feed, or it does so best
 *          at the longest lag that was looked for.
 * Throws   RangeError when the flows are not of one length, or interval or longest lag not positive.
 * Source   cross-correlation in system identification: Ljung, System Identification, 2nd ed. (1999), 6.1; inflation of
 *          the scores' variance: Newey & West, Econometrica 55 (1987) 703. Both from memory.
 *
 * @example a stream that shows 30 % of the feed of 60 s ago: a lag of 60 s
 */
export function lagFit(inputs: LagFitInputs): LagFit | null {
  const { feed, stream, intervalS, lagSMax } = inputs;
  expectPositive('lagFit.intervalS [s]', intervalS);
  expectPositive('lagFit.lagSMax [s]', lagSMax);
  if (feed.length !== stream.length) {
    throw figureInputError('lagFit.stream count [1]', stream.length, `${feed.length}, the count of the feed`);
  }
  const span = Math.round(CHANGE_S / intervalS);
  const delayMax = Math.ceil(lagSMax / intervalS);
  // The first changes of the mixed feed still show that it is taken to have stood still before.
  const from = delayMax + span;
  const changes = changesOver(Float64Array.from(stream), span);
  if (changes.length - from < span * CHANGES_MIN) return null;

  const candidates = candidatesOf(inputs, { changes, span, delayMax });
  const best = candidates.reduce((a, b) => (b.fit.unexplained < a.fit.unexplained ? b : a));
  if (best.fit.gain <= 0 || best.overlay.delay === delayMax) return null;
  const independent = (changes.length - from) / scoreInflation(best.overlay, best.fit, span);
  return {
    ...weightedLag(candidates, best, { independent, intervalS }),
    correlation: correlationOf(best.fit),
  };
}

function candidatesOf(
  { feed, intervalS }: LagFitInputs,
  search: { readonly changes: Float64Array; readonly span: number; readonly delayMax: number },
): readonly Candidate[] {
  const { changes, span, delayMax } = search;
  const flow = Float64Array.from(feed);
  const candidates: Candidate[] = [];
  for (const mixingS of MIXINGS_S) {
    const expected = changesOver(throughVessels(flow, { mixingS, intervalS }), span);
    const mixingDelayS = vesselsDelayS({ mixingS, intervalS });
    for (let delay = 0; delay <= delayMax; delay += 1) {
      const overlay = { expected, changes, delay, from: delayMax + span };
      candidates.push({ lagS: delay * intervalS + mixingDelayS, overlay, fit: overlayFit(overlay) });
    }
  }
  return candidates;
}

/** Every candidate counts by how well it fits; between two neighbours of the search lies at most an interval. */
function weightedLag(
  candidates: readonly Candidate[],
  best: Candidate,
  { independent, intervalS }: { readonly independent: number; readonly intervalS: number },
): { readonly lagS: number; readonly halfWidthS: number } {
  const least = Math.max(best.fit.unexplained, Number.MIN_VALUE);
  let [weights, lags, squares] = [0, 0, 0];
  for (const { lagS, fit } of candidates) {
    const weight = Math.exp((-independent / 2) * (fit.unexplained / least - 1));
    const fromBest = lagS - best.lagS;
    weights += weight;
    lags += weight * fromBest;
    squares += weight * fromBest * fromBest;
  }
  const shift = lags / weights;
  const variance = squares / weights - shift * shift + (intervalS * intervalS) / 12;
  return { lagS: best.lagS + shift, halfWidthS: NORMAL_95 * Math.sqrt(Math.max(0, variance)) };
}

function correlationOf({ unexplained, all }: OverlayFit): number {
  return all > 0 ? Math.sqrt(Math.max(0, 1 - unexplained / all)) : 0;
}
