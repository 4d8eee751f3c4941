import type { Band, FigureDescription, FigureMessage } from '../contract/figure-message.ts';
import type { LineSettings } from '../contract/line-settings.ts';
import { uncertaintyOf, type Estimate } from './estimate.ts';
import type { FigurePlan } from './figure-plans.ts';
import type { LineContext } from './line-context.ts';

/** An uncertainty says how many digits are worth reading; its own further digits are not. */
const UNCERTAINTY_DIGITS = 2;

/** How a figure goes out: its value, or why it has none. */
export function figureMessage(context: LineContext, plan: FigurePlan, estimate: Estimate): FigureMessage {
  const common = {
    id: plan.description.id,
    timeMs: context.frame.endMs,
    band: bandOf(context, plan),
  };
  if (!estimate.known) {
    const { because } = estimate;
    return { ...common, value: null, because, quality: 'bad', uncertainty: null, coveredRatio: null };
  }
  const { value, quality, coveredRatio } = estimate;
  const half = uncertaintyOf(estimate);
  const uncertainty = half === null ? null : Number(half.toPrecision(UNCERTAINTY_DIGITS));
  return { ...common, value, because: null, quality, uncertainty, coveredRatio };
}

/**
 * The band of a figure. A lot's product brings its own target, and the label's limits: the configured band moves with
 * the target and never reaches beyond the label. Label limits hold for a product, never for the slurry.
 */
function bandOf({ setup, lot }: LineContext, { description }: FigurePlan): Band | null {
  const configured = configuredBand(setup.settings.bands, description);
  if (description.kind !== 'product-dose') return configured;
  const planned = lot?.products.find(({ name }) => name === description.product);
  if (planned === undefined) return configured;
  const target = planned.doseMlPerBu;
  const scale = configured?.target == null ? null : target / configured.target;
  const side = (value: number | null | undefined) => (value == null || scale === null ? null : value * scale);
  return {
    target,
    low: innermost(Math.max, side(configured?.low), planned.labelMlPerBuMin),
    high: innermost(Math.min, side(configured?.high), planned.labelMlPerBuMax),
  };
}

/** Its own band; a quotient over a longer time has that of now where it has none of its own. */
function configuredBand(bands: LineSettings['bands'], { id, unit, window }: FigureDescription): Band | null {
  const isQuotient = unit === '1' || unit === 'mL/bu';
  const ofNow = isQuotient && window !== 'now' ? bands[id.slice(0, -window.length - 1)] : undefined;
  return bands[id] ?? ofNow ?? null;
}

function innermost(
  pick: (...values: number[]) => number,
  configured: number | null,
  label: number | null,
): number | null {
  if (configured === null || label === null) return configured ?? label;
  return pick(configured, label);
}
