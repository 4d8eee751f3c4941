/** Published networks that several tests of this folder use. */

/** F1 splits into F2 and F3; each passes one exchanger (F4, F5); they join to F6. */
export const SPLITTER = [
  [1, -1, -1, 0, 0, 0],
  [0, 1, 0, -1, 0, 0],
  [0, 0, 1, 0, -1, 0],
  [0, 0, 0, 1, 1, -1],
];

export function diagonal(variances: readonly number[]) {
  return variances.map((variance, i) => variances.map((_, j) => (i === j ? variance : 0)));
}

/** Narasimhan & Jordache (2000), ch. 1: check value B5 (answers from memory, reproduced by hand computation). */
export const B5 = {
  balances: SPLITTER,
  measured: [101.91, 64.45, 34.65, 64.2, 36.44, 98.88],
  covariance: diagonal([1, 1, 1, 1, 1, 1]),
};

/** The same with F2 reading 4 too much, ch. 7: check value B6. */
export const B6 = { ...B5, measured: [101.91, 68.45, 34.65, 64.2, 36.44, 98.88] };
