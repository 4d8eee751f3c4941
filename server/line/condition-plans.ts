import { liquidWithoutSeedFigure, offRouteFigure, seedWithoutLiquidFigure } from './condition-figures.ts';
import { described, scalesOf } from './described.ts';
import type { FigurePlan, PlanParts } from './figure-plans.ts';

/** Conditions that no single contact tells: 1 while they hold. */
export function conditionPlans(parts: PlanParts): readonly FigurePlan[] {
  return [...routePlans(parts), ...treaterPlans(parts)];
}

function routePlans({ graph, layout, settings }: PlanParts): readonly FigurePlan[] {
  if (settings.routes === undefined || layout.bypassTags.size === 0) return [];
  const sources = [...layout.bypassTags.values()];
  return [
    {
      description: described({ graph, kind: 'off-route', unit: 'state', sources }),
      formula: 'gates-against-route',
      isSlow: false,
      work: offRouteFigure(),
    },
  ];
}

function treaterPlans({ graph, layout }: PlanParts): readonly FigurePlan[] {
  const { treater, treaterFeed, liquids } = layout;
  const hasPumps = liquids.length > 0 && liquids.every(({ volumeFlowTag }) => volumeFlowTag !== null);
  if (treater === null || treaterFeed === null || !hasPumps) return [];
  const sources = [...scalesOf(treaterFeed), ...liquids.map(({ volumeFlowTag }) => volumeFlowTag)];
  const naming = { graph, machine: treater.id, unit: 'state', sources } as const;
  return [
    {
      description: described({ ...naming, kind: 'liquid-without-seed' }),
      formula: 'liquid-against-seed',
      isSlow: false,
      work: liquidWithoutSeedFigure(),
    },
    {
      description: described({ ...naming, kind: 'seed-without-liquid' }),
      formula: 'liquid-against-seed',
      isSlow: false,
      work: seedWithoutLiquidFigure(),
    },
  ];
}
