import { MOST_OF_ALL } from './flow-track.ts';
import type { LineSetup } from './line-setup.ts';

const BEYOND_RANGE = 2;

/** An instrument may show somewhat more than its range; beyond twice of it nothing was measured. */
export function mostOf({ tracked }: Pick<LineSetup, 'tracked'>, tag: string): number {
  const { rangeLow = null, rangeHigh = null } = tracked.get(tag) ?? {};
  if (rangeHigh === null) return MOST_OF_ALL;
  return BEYOND_RANGE * Math.max(Math.abs(rangeHigh), Math.abs(rangeLow ?? 0));
}
