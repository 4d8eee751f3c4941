import { described, scalesOf } from './described.ts';
import type { FigurePlan, PlanParts } from './figure-plans.ts';
import { goodSeedLostFigure, worthFigure } from './loss-figures.ts';
import { rejectName } from './mass-plans.ts';
import { dryYieldFigure, moistureFigure, waterRemovedFigure } from './moisture-figures.ts';

/** Moisture, water and what the rejects carry away that is good. */
export function moneyPlans(parts: PlanParts): readonly FigurePlan[] {
  return [...moisturePlans(parts), ...lossPlans(parts)];
}

function moisturePlans({ graph, layout }: PlanParts): readonly FigurePlan[] {
  const { path, feed, clean } = layout;
  const meters = path.flatMap((stream, at) =>
    (stream.moistureTag ?? null) === null ? [] : [{ stream, at }],
  );
  const moistures = meters.map(({ stream, at }): FigurePlan => {
    const naming = { graph, stream: stream.id, kind: 'moisture', name: `moisture-${stream.id}` } as const;
    return {
      description: described({ ...naming, unit: '1', sources: [stream.moistureTag] }),
      formula: 'mean-rate',
      isSlow: true,
      work: moistureFigure(stream, at),
    };
  });
  const isDry = feed?.moistureTag != null && clean?.moistureTag != null;
  const sources = [...scalesOf(feed), ...scalesOf(clean), feed?.moistureTag, clean?.moistureTag];
  const dry = (['ten-minutes', 'lot'] as const).map((window): FigurePlan => ({
    description: described({ graph, kind: 'dry-matter-yield', window, unit: '1', sources }),
    formula: 'dry-matter-over-dry-matter',
    isSlow: true,
    work: dryYieldFigure(window),
  }));
  const isDried = meters.some(({ at }) => layout.treaterPlace !== -1 && at > layout.treaterPlace);
  return [
    ...moistures,
    ...(isDry ? dry : []),
    ...(isDried && meters.length > 1 ? [waterPlan(graph, layout)] : []),
  ];
}

function waterPlan(graph: PlanParts['graph'], layout: PlanParts['layout']): FigurePlan {
  const liquids = layout.liquids.flatMap(({ volumeFlowTag, liquid }) => [volumeFlowTag, liquid?.tankMassTag]);
  const moistures = layout.path.map(({ moistureTag }) => moistureTag);
  const sources = [...scalesOf(layout.treaterFeed), ...moistures, ...liquids];
  return {
    description: described({ graph, kind: 'water-removed', window: 'ten-minutes', unit: 'kg/h', sources }),
    formula: 'mass-and-two-moistures',
    isSlow: true,
    work: waterRemovedFigure(),
  };
}

function lossPlans(parts: PlanParts): readonly FigurePlan[] {
  const { graph, layout, crops } = parts;
  const isPriced = crops.some(({ prices }) => prices !== undefined);
  return layout.rejects.flatMap((outlet): readonly FigurePlan[] => {
    const sources = scalesOf(outlet.stream);
    const window = 'ten-minutes';
    const lost = { graph, window, sources, ...rejectName(parts, outlet, 'good-seed-lost') } as const;
    const worth = { graph, window, sources, ...rejectName(parts, outlet, 'good-seed-lost-worth') } as const;
    const plan: FigurePlan = {
      description: described({ ...lost, kind: 'good-seed-lost', unit: 'kg/h' }),
      formula: 'reject-times-good-share',
      isSlow: true,
      work: goodSeedLostFigure(outlet),
    };
    if (!isPriced) return [plan];
    const inMoney: FigurePlan = {
      description: described({ ...worth, kind: 'good-seed-lost-worth', unit: 'money/h' }),
      formula: 'lost-times-price',
      isSlow: true,
      work: worthFigure(outlet),
    };
    return [plan, inMoney];
  });
}
