import type { Band } from '../../../server/contract/figure-message.ts';
import type { RibbonFlows } from './ribbon-flows.ts';
import type { RibbonScale } from './ribbon-layout.ts';

/** Steps at which the scale may stand, so that it does not move with every reading. */
const STEPS = [1, 1.25, 1.6, 2, 2.5, 3.2, 4, 5, 6.3, 8, 10];
const FACTORS = [4, 3, 2, 1];
/** A reject drawn wider than this share of the ribbon looks like the ribbon. */
const REJECT_SHARE_MAX = 0.34;

/**
 * The scale of the ribbon: full thickness just above the band of the feed, so that the ribbon is visibly thinner when
 * the line runs slow; without a band, at the next step above the largest flow.
 */
export function ribbonScale(flows: RibbonFlows, feedBand: Band | null): RibbonScale {
  const largest = Math.max(0, ...flows.gaps.map(({ kgPerH }) => kgPerH ?? 0));
  const wanted = feedBand?.high ?? feedBand?.target ?? 0;
  const fullKgPerH = stepAbove(Math.max(wanted, largest));
  const widest = Math.max(0, ...flows.rejects.map((flow) => flow ?? 0));
  return { fullKgPerH, rejectFactor: factorFor(widest / fullKgPerH) };
}

function stepAbove(flow: number): number {
  if (flow <= 0) return 1;
  const decade = 10 ** Math.floor(Math.log10(flow));
  const step = STEPS.find((one) => one * decade >= flow) ?? 10;
  return step * decade;
}

function factorFor(widestShare: number): number {
  return FACTORS.find((factor) => factor * widestShare <= REJECT_SHARE_MAX) ?? 1;
}
