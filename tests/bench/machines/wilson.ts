/**
 * Between which shares the true one lies with 95 %, when `hits` of `tries` were seen.
 *
 * Source   E. B. Wilson, J. Amer. Statist. Assoc. 22 (1927) 209; 1.96 is the normal quantile of 0.975.
 */
export function wilson(hits: number, tries: number): { readonly low: number; readonly high: number } {
  if (tries === 0) return { low: 0, high: 1 };
  const z = 1.959_964;
  const share = hits / tries;
  const middle = share + (z * z) / (2 * tries);
  const half = z * Math.sqrt((share * (1 - share)) / tries + (z * z) / (4 * tries * tries));
  const all = 1 + (z * z) / tries;
  return { low: (middle - half) / all, high: (middle + half) / all };
}
