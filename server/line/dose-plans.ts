import type { FigureWindow } from '../contract/figure-message.ts';
import type { FormulaCode } from '../contract/figure-provenance.ts';
import type { Stream } from '../contract/line-graph.ts';
import { described, scalesOf } from './described.ts';
import {
  doseFigure,
  doseVariationFigure,
  liquidUsedFigure,
  productDoseFigure,
  timeToEmptyFigure,
} from './dose-figures.ts';
import type { FigurePlan, PlanParts } from './figure-plans.ts';

const WINDOWS: readonly FigureWindow[] = ['now', 'ten-minutes', 'lot', 'shift'];

/** A product that seed gets, and the stream that it comes in. */
interface Product {
  readonly name: string;
  readonly liquid: Stream;
  /** Counted over all liquids, from 1: it is in the figure's id. */
  readonly number: number;
  readonly isMixed: boolean;
}

/** Doses, volumes and tanks of a treater. */
export function dosePlans(parts: PlanParts): readonly FigurePlan[] {
  const { treater, liquids } = parts.layout;
  if (treater === null || liquids.length === 0) return [];
  const machine = treater.id;
  const products = productsOf(liquids);
  return [
    ...WINDOWS.map((window) => dosePlan(parts, machine, window)),
    ...products.flatMap((product) =>
      WINDOWS.map((window) => productPlan(parts, product, { machine, window })),
    ),
    ...products.flatMap((product) =>
      (['lot', 'shift'] as const).map((window) => usedPlan(parts, product, { machine, window })),
    ),
    ...liquids.flatMap((liquid, index) => emptyPlans(parts, liquid, { machine, number: index + 1 })),
    variationPlan(parts, machine),
  ];
}

function productsOf(liquids: readonly Stream[]): readonly Product[] {
  const named = liquids.flatMap((liquid) => {
    const products = liquid.liquid?.products ?? [];
    if (products.length < 2) return [{ name: products[0]?.name ?? liquid.name, liquid, isMixed: false }];
    return products.map(({ name }) => ({ name, liquid, isMixed: true }));
  });
  return named.map((product, index) => ({ ...product, number: index + 1 }));
}

function dosePlan(parts: PlanParts, machine: string, window: FigureWindow): FigurePlan {
  const sources = sourcesOf(parts, parts.layout.liquids);
  return {
    description: described({ graph: parts.graph, machine, kind: 'dose', window, unit: 'mL/bu', sources }),
    formula: formulaOf(parts.layout.liquids, window),
    isSlow: window !== 'now',
    work: doseFigure(window),
  };
}

function productPlan(
  parts: PlanParts,
  { name, liquid, number, isMixed }: Product,
  { machine, window }: { readonly machine: string; readonly window: FigureWindow },
): FigurePlan {
  return {
    description: described({
      graph: parts.graph,
      machine,
      kind: 'product-dose',
      name: `product-dose-${number}`,
      stream: liquid.id,
      product: name,
      window,
      unit: 'mL/bu',
      sources: sourcesOf(parts, [liquid]),
    }),
    formula: isMixed ? 'share-of-slurry-dose' : formulaOf([liquid], window),
    isSlow: window !== 'now',
    work: productDoseFigure(liquid, name, window),
  };
}

function usedPlan(
  parts: PlanParts,
  { name, liquid, number }: Product,
  { machine, window }: { readonly machine: string; readonly window: 'lot' | 'shift' },
): FigurePlan {
  return {
    description: described({
      graph: parts.graph,
      machine,
      kind: 'liquid-used',
      name: `liquid-used-${number}`,
      stream: liquid.id,
      product: name,
      window,
      unit: 'mL',
      sources: liquidTags(liquid),
    }),
    formula: hasTank(liquid) ? 'tank-loss' : 'pump-volume',
    isSlow: true,
    work: liquidUsedFigure(liquid, name, window),
  };
}

function emptyPlans(
  { graph }: PlanParts,
  liquid: Stream,
  { machine, number }: { readonly machine: string; readonly number: number },
): readonly FigurePlan[] {
  if (!hasTank(liquid)) return [];
  const description = described({
    graph,
    machine,
    kind: 'time-to-empty',
    name: `time-to-empty-${number}`,
    stream: liquid.id,
    product: liquid.name,
    unit: 'h',
    sources: liquidTags(liquid),
  });
  return [{ description, formula: 'volume-over-flow', isSlow: true, work: timeToEmptyFigure(liquid) }];
}

function variationPlan(parts: PlanParts, machine: string): FigurePlan {
  const sources = sourcesOf(parts, parts.layout.liquids);
  const naming = { graph: parts.graph, machine, kind: 'dose-variation', window: 'lot', unit: '1' } as const;
  return {
    description: described({ ...naming, sources }),
    formula: 'variation-of-doses',
    isSlow: true,
    work: doseVariationFigure(),
  };
}

function formulaOf(liquids: readonly Stream[], window: FigureWindow): FormulaCode {
  return window !== 'now' && liquids.every(hasTank) ? 'tank-loss-over-seed' : 'pump-flow-over-seed';
}

function sourcesOf({ layout }: PlanParts, liquids: readonly Stream[]) {
  return [...scalesOf(layout.treaterFeed), ...liquids.flatMap(liquidTags)];
}

function liquidTags({ volumeFlowTag, liquid }: Stream): readonly (string | null)[] {
  return [volumeFlowTag, liquid?.tankMassTag ?? null];
}

function hasTank({ liquid }: Stream): boolean {
  return (liquid?.tankMassTag ?? null) !== null;
}
