import type { FigureDescription } from '../contract/figure-message.ts';
import type { FormulaCode } from '../contract/figure-provenance.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { LineSettings } from '../contract/line-settings.ts';
import type { Crop } from '../contract/plant-description.ts';
import type { BalanceNetwork } from './balance-network.ts';
import { conditionPlans } from './condition-plans.ts';
import { dosePlans } from './dose-plans.ts';
import type { LineLayout } from './line-layout.ts';
import { massPlans } from './mass-plans.ts';
import { moneyPlans } from './money-plans.ts';
import { balancePlans } from './balance-plans.ts';
import type { Work } from './seen-amounts.ts';

/** A figure that this line has, and how to work it out. */
export interface FigurePlan {
  readonly description: FigureDescription;
  readonly formula: FormulaCode;
  readonly work: Work;
  /** Speaks of minutes and more: once a second is often enough. */
  readonly isSlow: boolean;
}

/** What the plans of a line are made from. */
export interface PlanParts {
  readonly graph: LineGraph;
  readonly layout: LineLayout;
  readonly network: BalanceNetwork;
  readonly settings: LineSettings;
  readonly crops: readonly Crop[];
}

/** Every figure of a line, in the order in which a reader would ask for them. */
export function figurePlans(parts: PlanParts): readonly FigurePlan[] {
  return [
    ...massPlans(parts),
    ...dosePlans(parts),
    ...moneyPlans(parts),
    ...balancePlans(parts),
    ...conditionPlans(parts),
  ];
}
