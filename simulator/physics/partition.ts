/**
 * How sharply a machine tells seed apart: the share of a property class that goes to the high side.
 *
 * Every curve takes the property `x` and gives 0 to 1; the low side is the rest.
 */
export interface Cut {
  /** Where half goes to each side. */
  readonly at: number;
  /** Probable error, half the distance between the quartiles; smaller is sharper. */
  readonly probableError: number;
}

/**
 * The share that goes to the high side of a symmetric cut.
 *
 *     P(x) = 1 / (1 + exp(-ln 3 (x - x50) / Ep)),   Ep = (x75 - x25) / 2
 *
 * Source   Whiten's logistic partition curve (handbook 10.7, checks S1 and S2)
 *
 * @example x50 = 8, Ep = 0.5: 0.5 at 8, 0.75 at 8.5, 0.90 at 9, 0.25 at 7.5
 */
export function logisticPartition(x: number, cut: Cut): number {
  return 1 / (1 + Math.exp((-Math.log(3) * (x - cut.at)) / cut.probableError));
}

/**
 * The share that goes to the high side of a cut whose coarse side is steeper, as air separators have.
 *
 *     E = (e^(a r) - 1) / (e^(a r) + e^a - 2),   r = x / x50
 *
 * Source   Lynch and Rao's reduced efficiency curve (handbook 10.7); E(1) = 0.5 for any sharpness
 */
export function lynchRaoPartition(x: number, at: number, sharpness: number): number {
  const grown = Math.exp(Math.min(500, (sharpness * Math.max(0, x)) / at));
  return (grown - 1) / (grown + Math.exp(sharpness) - 2);
}

/**
 * What is left of a cut when a part of the stream never meets it.
 *
 *     P' = (1 - R) P
 *
 * Source   handbook 10.7 (R fraction not presented); here the part that is missed stays with the seed
 */
export function withBypass(share: number, missed: number): number {
  return (1 - missed) * share;
}

/**
 * A cut that blurs when more comes than the machine is rated for.
 *
 *     Ep = Ep0 (1 + k max(0, Q / Qr - 1))
 *
 * Source   handbook 10.7
 */
export function overloaded(cut: Cut, load: number, blur = 1.5): Cut {
  return { at: cut.at, probableError: cut.probableError * (1 + blur * Math.max(0, load - 1)) };
}
