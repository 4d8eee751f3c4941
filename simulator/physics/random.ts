/**
 * Repeatable chance: one stream of numbers for each purpose, so that a new tag or an upset shifts nobody else's.
 *
 * Source   sfc32, a public-domain 32-bit generator of the PractRand suite; seeding by 32-bit FNV-1a.
 */
export interface RandomStream {
  /** Uniform on [0, 1). */
  uniform(): number;
  /** Standard normal, cut off at about 3.3 standard deviations. */
  normal(): number;
}

export function randomStream(seed: number, purpose: string): RandomStream {
  let a = hashOf(`${seed} ${purpose} a`);
  let b = hashOf(`${purpose} b ${seed}`);
  let c = hashOf(`c ${seed} ${purpose}`);
  let counter = 1;

  function next(): number {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  }

  for (let i = 0; i < 15; i += 1) next();
  return {
    uniform: () => next() / 4_294_967_296,
    normal: () => NORMAL_QUANTILES[next() >>> 21] ?? 0,
  };
}

function hashOf(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return hash | 0;
}

/**
 * The value below which a standard normal variable falls with probability p.
 *
 *     rational approximation in three regions, relative error below 1.2e-9
 *
 * Source   P. J. Acklam's published coefficients (from memory), checked in the tests against tabled quantiles.
 */
export function normalQuantile(p: number): number {
  if (p > 0.5) return -normalQuantile(1 - p);
  if (p < 0.02425) {
    const q = Math.sqrt(-2 * Math.log(p));
    return polynomial(TAIL_TOP, q) / (polynomial(TAIL_BOTTOM, q) * q + 1);
  }
  const q = p - 0.5;
  const r = q * q;
  return (polynomial(CENTRE_TOP, r) * q) / (polynomial(CENTRE_BOTTOM, r) * r + 1);
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduce((sum, coefficient) => sum * x + coefficient, 0);
}

const CENTRE_TOP = [
  -39.69683028665376, 220.9460984245205, -275.9285104469687, 138.357751867269, -30.66479806614716,
  2.506628277459239,
];
const CENTRE_BOTTOM = [
  -54.47609879822406, 161.5858368580409, -155.6989798598866, 66.80131188771972, -13.28068155288572,
];
const TAIL_TOP = [
  -0.007784894002430293, -0.3223964580411365, -2.400758277161838, -2.549732539343734, 4.374664141464968,
  2.938163982698783,
];
const TAIL_BOTTOM = [0.007784695709041462, 0.3224671290700398, 2.445134137142996, 3.754408661907416];

const NORMAL_QUANTILES = Float64Array.from({ length: 2048 }, (_, i) => normalQuantile((i + 0.5) / 2048));
