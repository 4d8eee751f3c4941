import {
  chartAfter,
  chartAtRest,
  driftReach,
  NEW_CHART,
  type DriftChart,
  type DriftRule,
} from '#server/alarms/drift-chart.ts';
import type { AlarmRule } from '#server/contract/alarm-rule.ts';
import type { PlantStep } from '#server/pipeline/step-plant.ts';
import { valueIn } from './extremes.ts';

/** How a chart of the rules would be run. */
export type ChartUse = 'textbook-every-second' | 'widened-every-second' | 'as-in-the-rules';

export interface ChartCount {
  /** Samples judged after learning, and how often the chart signalled among them. */
  readonly samples: number;
  readonly signals: number;
}

export const CHART_USES: readonly ChartUse[] = [
  'textbook-every-second',
  'widened-every-second',
  'as-in-the-rules',
];
/** 500 samples between false alarms, were they independent: Lucas & Saccucci, Technometrics 32 (1990) 1. */
const TEXTBOOK = { kind: 'ewma', weight: 0.2, width: 2.962 } as const;
const TEXTBOOK_LEARN = 200;
const FROM_FRAME = 900;

/** The in-control run length that charts reach on the plant's own figures, whose values repeat each other. */
export class ChartStudy {
  readonly #rule: DriftRule;
  readonly #use: ChartUse;
  #chart: DriftChart = NEW_CHART;
  #frames = 0;
  #samples = 0;
  #signals = 0;

  constructor(rule: DriftRule, use: ChartUse) {
    this.#rule = use === 'as-in-the-rules' ? rule : textbookOf(rule);
    this.#use = use;
  }

  take(step: PlantStep): void {
    this.#frames += 1;
    if (this.#frames <= FROM_FRAME || !this.#hasSampled(step)) return;
    const reach = driftReach(this.#chart, this.#rule);
    if (reach === null) return;
    this.#samples += 1;
    if (Math.max(reach.up, reach.down) <= 1) return;
    this.#signals += 1;
    this.#chart = chartAtRest(this.#chart);
  }

  #hasSampled(step: PlantStep): boolean {
    const value = valueIn(step, this.#rule.subject);
    const timeMs = step.state.frames.endMs;
    if (value === null || timeMs === null) return false;
    const target = step.state.figures.get(this.#rule.subject)?.band?.target ?? null;
    const after = chartAfter(this.#chart, { timeMs, value, target }, this.#rule);
    if (after === this.#chart) return false;
    this.#chart = this.#use === 'textbook-every-second' ? unwidened(after) : after;
    return true;
  }

  get count(): ChartCount {
    return { samples: this.#samples, signals: this.#signals };
  }
}

export function driftRules(rules: readonly AlarmRule[]): readonly DriftRule[] {
  return rules.filter((rule) => rule.kind === 'drift');
}

function textbookOf(rule: DriftRule): DriftRule {
  return {
    ...rule,
    chart: TEXTBOOK,
    sampleMs: 1000,
    center: 'learned',
    learnSamples: TEXTBOOK_LEARN,
    deviationMin: 1e-12,
  };
}

function unwidened(chart: DriftChart): DriftChart {
  return chart.phase === 'watching' ? { ...chart, widening: 1 } : chart;
}
