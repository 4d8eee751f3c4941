/** Two rows of changes laid over each other, one of them later by a delay. */
export interface Overlay {
  /** Changes that are expected to come again. */
  readonly expected: Float64Array;
  /** Changes in which they may. */
  readonly changes: Float64Array;
  /** Whole intervals by which the expected ones come later. */
  readonly delay: number;
  /** The changes before this one are left out; at least the delay. */
  readonly from: number;
}

export interface OverlayFit {
  /** changes = level + gain * expected, by least squares. */
  readonly gain: number;
  readonly level: number;
  /** Sum of squares that the line leaves; all of them where the gain is not positive. */
  readonly unexplained: number;
  readonly all: number;
}

/** By how much a flow changed over a number of intervals. */
export function changesOver(flow: Float64Array, span: number): Float64Array {
  return Float64Array.from(
    { length: Math.max(0, flow.length - span) },
    (_, index) => (flow[index + span] ?? 0) - (flow[index] ?? 0),
  );
}

/** How well the changes follow the expected ones. One pass: this is what a search repeats a thousand times. */
export function overlayFit({ expected, changes, delay, from }: Overlay): OverlayFit {
  let [x, y, xx, xy, yy] = [0, 0, 0, 0, 0];
  for (let index = from; index < changes.length; index += 1) {
    const a = expected[index - delay] ?? 0;
    const b = changes[index] ?? 0;
    x += a;
    y += b;
    xx += a * a;
    xy += a * b;
    yy += b * b;
  }
  const count = changes.length - from;
  const squares = xx - (x * x) / count;
  const products = xy - (x * y) / count;
  const all = Math.max(0, yy - (y * y) / count);
  const gain = squares > 0 ? products / squares : 0;
  const unexplained = gain > 0 ? Math.max(0, all - gain * products) : all;
  return { gain, level: (y - gain * x) / count, unexplained, all };
}

/**
 * How many neighbouring changes count as one, as to where the best delay lies.
 *
 *     score = what the fit leaves * how fast the expected change grows there
 *     inflation = 1 + 2 sum over k of (1 - k / (lags + 1)) * autocorrelation of the scores at k, at least 2
 *
 * Source   Newey & West, Econometrica 55 (1987) 703.
 */
export function scoreInflation(overlay: Overlay, fit: OverlayFit, lags: number): number {
  const scores = scoresOf(overlay, fit);
  const own = productAt(scores, 0);
  if (own === 0) return INFLATION_MIN;
  let inflation = 1;
  for (let k = 1; k <= lags; k += 1) inflation += (2 * (1 - k / (lags + 1)) * productAt(scores, k)) / own;
  return Math.max(INFLATION_MIN, inflation);
}

const INFLATION_MIN = 2;

function scoresOf({ expected, changes, delay, from }: Overlay, { gain, level }: OverlayFit): Float64Array {
  return Float64Array.from({ length: Math.max(0, changes.length - from - 1) }, (_, n) => {
    const index = from + n;
    const at = index - delay;
    const left = (changes[index] ?? 0) - level - gain * (expected[at] ?? 0);
    return left * ((expected[at + 1] ?? 0) - (expected[at - 1] ?? 0));
  });
}

function productAt(scores: Float64Array, shift: number): number {
  let sum = 0;
  for (let index = shift; index < scores.length; index += 1) {
    sum += (scores[index] ?? 0) * (scores[index - shift] ?? 0);
  }
  return sum;
}
