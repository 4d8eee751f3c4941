import { dosePerBushel } from '../calc/dose-per-bushel.ts';
import { kilogramsPerBushel, kilogramsPerHour, millilitresPerMinute } from '../calc/units.ts';
import type { Stream } from '../contract/line-graph.ts';
import { allKnown, standingOf, unknownEstimate, type Estimate } from './estimate.ts';
import { rateOf, type LineContext } from './line-context.ts';

type Work = (context: LineContext) => Estimate;

/** Liquid of all products that each bushel of seed receives. */
export function doseFigure(): Work {
  return (context) => doseOf(context, context.setup.layout.liquids);
}

/** Liquid of one product that each bushel of seed receives. */
export function productDoseFigure(liquid: Stream): Work {
  return (context) => doseOf(context, [liquid]);
}

function doseOf(context: LineContext, liquids: readonly Stream[]): Estimate {
  const { layout, settings } = context.setup;
  const window = { lengthMs: settings.nowWindowMs, agoMs: 0 };
  const inputs = allKnown([
    rateOf(context, layout.treaterFeed?.massFlowTag ?? null, window),
    ...liquids.map((liquid) => rateOf(context, liquid.volumeFlowTag, window)),
  ]);
  if ('known' in inputs) return inputs;
  const [seed, ...pumps] = inputs;
  if (seed === undefined) return unknownEstimate('not-measured');
  const figure = dosePerBushel({
    doseRate: millilitresPerMinute(pumps.reduce((sum, { value }) => sum + value, 0)),
    seedRate: kilogramsPerHour(seed.value),
    bushelMass: kilogramsPerBushel(context.bushelMassKg),
    seedRateFloor: kilogramsPerHour(settings.feedKgPerHFloor),
  });
  return figure.known
    ? { known: true, value: figure.value, ...standingOf(inputs) }
    : unknownEstimate(figure.because);
}
