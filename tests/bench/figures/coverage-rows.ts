import type { Covered } from './coverage-part.ts';

/** One kind of figure over one window: how often its stated interval held the truth, and how wide it was. */
export interface CoverageRow {
  readonly what: string;
  readonly cases: number;
  readonly coveredRatio: number;
  readonly medianWidthRatio: number;
}

export function coverageRows(covered: readonly Covered[]): readonly CoverageRow[] {
  const kinds = [...new Set(covered.map(({ what }) => what))].toSorted();
  return kinds.map((what) => {
    const own = covered.filter((each) => each.what === what);
    const widths = own.map(({ widthRatio }) => widthRatio).toSorted((a, b) => a - b);
    return {
      what,
      cases: own.length,
      coveredRatio: own.filter(({ isCovered }) => isCovered).length / own.length,
      medianWidthRatio: widths[Math.floor(widths.length / 2)] ?? NaN,
    };
  });
}
