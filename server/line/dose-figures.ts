import { doseOverWindow } from '../calc/dose/dose-over-window.ts';
import { timeToEmpty } from '../calc/dose/time-to-empty.ts';
import { known } from '../calc/figure.ts';
import { standardDeviationOf } from '../calc/statistics/running-summary.ts';
import { kilograms, millilitres, millilitresPerMinute, MS_PER_MINUTE } from '../calc/units.ts';
import type { FigureWindow } from '../contract/figure-message.ts';
import type { Stream } from '../contract/line-graph.ts';
import { isCalibrated } from './calibration.ts';
import type { DoseSpread } from './dose-spread.ts';
import { allKnown, derived, exactEstimate, unknownEstimate, type Estimate } from './estimate.ts';
import type { LineContext } from './line-context.ts';
import { densityOf, liquidVolume, recipeOf } from './liquid-amounts.ts';
import { mostOf } from './most-of.ts';
import { givenInput } from './given-input.ts';
import { amountOf, floorOf, lengthOf, type Work } from './seen-amounts.ts';

const G_PER_KG = 1000;
/** Below this share of the pump's range, or of 1000 mL/min where it has none, a pump counts as standing. */
const FLOW_FLOOR_RATIO = 0.005;
const RANGE_ML_PER_MIN = 1000;

/** Liquid of all products that each bushel of seed receives. */
export function doseFigure(window: FigureWindow): Work {
  return (context) => doseOf(context, context.setup.layout.liquids, window);
}

/** Liquid of one product that each bushel receives: measured by itself, or by its share in the mixture. */
export function productDoseFigure(liquid: Stream, product: string, window: FigureWindow): Work {
  return (context) => {
    const dose = doseOf(context, [liquid], window);
    const share = shareOf(context, liquid, product);
    if (!share.known || !dose.known) return dose.known ? share : dose;
    return derived(known(dose.value * share.value), [
      { of: dose, slope: share.value },
      { of: share, slope: dose.value },
    ]);
  };
}

/** Volume of one liquid stream in this lot or shift, or of one product by its share of the mixture. */
export function liquidUsedFigure(liquid: Stream, product: string, window: FigureWindow): Work {
  return (context) => {
    const volume = liquidVolume(context, liquid, { window, seenAt: context.setup.layout.treaterPlace });
    const share = shareOf(context, liquid, product);
    if (!share.known || !volume.known) return volume.known ? share : volume;
    return derived(known(volume.value * share.value), [
      { of: volume, slope: share.value },
      { of: share, slope: volume.value },
    ]);
  };
}

/** How long a tank lasts at the flow of the last ten minutes. */
export function timeToEmptyFigure(liquid: Stream): Work {
  return (context) => {
    const window = 'ten-minutes';
    const volume = liquidVolume(context, liquid, { window, seenAt: context.setup.layout.treaterPlace });
    const density = densityOf(liquid, context.lot);
    if (!volume.known) return volume;
    if (density === null) return unknownEstimate('not-measured');
    const left = leftIn(context, liquid);
    if (!left.known) return left;
    const mlPerKg = G_PER_KG / density;
    const time = timeToEmpty({
      volume: millilitres(left.value * mlPerKg),
      unusable: millilitres((liquid.liquid?.unusableKg ?? 0) * mlPerKg),
      flow: millilitresPerMinute((volume.value * MS_PER_MINUTE) / lengthOf(context, window)),
      flowFloor: millilitresPerMinute(flowFloorOf(context, liquid)),
    });
    const slope = time.known ? (-1 * time.value) / volume.value : 0;
    return derived(time, [{ of: volume, slope }]);
  };
}

/** What its scale says now, kg. */
function leftIn({ frame, setup }: LineContext, { liquid }: Stream): Estimate {
  const tag = liquid?.tankMassTag ?? '';
  const weight = frame.latest.get(tag)?.value ?? null;
  if (weight === null) return unknownEstimate('not-measured');
  const isPossible = Math.abs(weight) <= mostOf(setup, tag);
  return isPossible ? exactEstimate(Math.max(0, weight)) : unknownEstimate('inputs-inconsistent');
}

/** How much the dose of this lot differed from minute to minute, as a share of its mean. */
export function doseVariationFigure(): Work {
  return ({ lot, doseSpread }) => {
    if (lot === null) return unknownEstimate('no-lot');
    return variationOf(doseSpread?.lot === lot.id ? doseSpread : null);
  };
}

/** Below this flow a pump counts as standing. */
export function flowFloorOf({ setup }: LineContext, { volumeFlowTag }: Stream): number {
  const range = setup.tracked.get(volumeFlowTag ?? '')?.rangeHigh ?? RANGE_ML_PER_MIN;
  return range * FLOW_FLOOR_RATIO;
}

/** The dose over a window, mL/bu: liquid over the seed that was in the treater with it. */
export function doseOf(context: LineContext, liquids: readonly Stream[], window: FigureWindow): Estimate {
  const { layout } = context.setup;
  const seen = { window, seenAt: layout.treaterPlace };
  const asked = { stream: layout.treaterFeed, role: 'seed', at: layout.treaterFeedPlace } as const;
  const inputs = allKnown([
    amountOf(context, asked, seen),
    ...liquids.map((liquid) => liquidVolume(context, liquid, seen)),
  ]);
  if ('known' in inputs) return inputs;
  const [seed, ...volumes] = inputs;
  if (seed === undefined) return unknownEstimate('not-measured');
  const volume = volumes.reduce((sum, { value }) => sum + value, 0);
  const figure = doseOverWindow({
    liquid: millilitres(volume),
    seed: kilograms(seed.value),
    seedFloor: kilograms(floorOf(context, window)),
  });
  const perBushel = context.bushelMassKg;
  const dose = derived(figure.known ? known((figure.value * perBushel) / 100) : figure, [
    ...volumes.map((of) => ({ of, slope: perBushel / seed.value })),
    { of: seed, slope: (-perBushel * volume) / seed.value ** 2 },
  ]);
  return asCalibrated(context, liquids, dose);
}

/** A dose that rests on a pump whose calibration is overdue is uncertain. */
function asCalibrated(context: LineContext, liquids: readonly Stream[], dose: Estimate): Estimate {
  if (!dose.known || dose.quality !== 'good') return dose;
  const areProven = liquids.every((liquid) => isCalibrated(context, liquid));
  return areProven ? dose : { ...dose, quality: 'uncertain' };
}

/** The share of a product in what its pump delivers: all of it, or by the lot's recipe. It is not measured. */
function shareOf(context: LineContext, { liquid }: Stream, product: string): Estimate {
  const products = liquid?.products ?? [];
  if (products.length < 2) return exactEstimate(1);
  const recipe = recipeOf(products, context.lot);
  const value = recipe?.shares[products.findIndex(({ name }) => name === product)];
  if (value === undefined) return unknownEstimate(context.lot === null ? 'no-lot' : 'not-measured');
  const share = { ...exactEstimate(value), quality: 'uncertain' } as const;
  context.trace?.(givenInput({ role: 'recipe', stream: null, unit: '1', takenMs: null }, share));
  return share;
}

function variationOf(spread: DoseSpread | null): Estimate {
  if (spread === null || spread.summary.count < 2) return unknownEstimate('window-uncovered');
  if (!(spread.summary.mean > 0)) return unknownEstimate('line-stopped');
  return { ...exactEstimate(standardDeviationOf(spread.summary) / spread.summary.mean), causes: null };
}
