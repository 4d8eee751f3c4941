import {
  chartAfter,
  driftReach,
  NEW_CHART,
  type DriftChart,
  type DriftRule,
} from '#server/alarms/drift-chart.ts';
import { randomStream } from '#simulator/physics/random.ts';

/** A chart of the alarm rules beside the run length that is printed for it. */
export interface RunLength {
  readonly name: string;
  readonly shift: number;
  readonly printed: number;
  readonly reached: number;
}

/**
 * Zero-state average run lengths as printed, for independent normal values.
 * Sources: EWMA: Lucas & Saccucci, Technometrics 32 (1990) 1. CUSUM: NIST/SEMATECH e-Handbook 6.3.2.3.1 and Montgomery.
 */
const PRINTED = [
  {
    chart: { kind: 'ewma', weight: 0.2, width: 2.962 },
    lengths: [
      [0, 500],
      [1, 10.5],
    ],
  },
  {
    chart: { kind: 'ewma', weight: 0.1, width: 2.814 },
    lengths: [
      [0, 500],
      [1, 10.3],
    ],
  },
  {
    chart: { kind: 'ewma', weight: 0.4, width: 3.054 },
    lengths: [
      [0, 500],
      [1, 14.3],
    ],
  },
  {
    chart: { kind: 'cusum', allowance: 0.5, decision: 4 },
    lengths: [
      [0, 168],
      [1, 8.38],
    ],
  },
  {
    chart: { kind: 'cusum', allowance: 0.5, decision: 5 },
    lengths: [
      [0, 465],
      [1, 10.4],
    ],
  },
] as const satisfies readonly {
  readonly chart: DriftRule['chart'];
  readonly lengths: readonly (readonly [shift: number, printed: number])[];
}[];

/** Lets the charts of the alarm rules run on independent values until they signal, many times over. */
export function runLengths(runs: number, seed: number): readonly RunLength[] {
  return PRINTED.flatMap(({ chart, lengths }) =>
    lengths.map(([shift, printed]) => {
      const name = nameOf(chart);
      const random = randomStream(seed, `${name} ${shift}`);
      let samples = 0;
      for (let run = 0; run < runs; run += 1)
        samples += runLength(ruleWith(chart), () => random.normal() + shift);
      return { name, shift, printed, reached: samples / runs };
    }),
  );
}

function nameOf(chart: DriftRule['chart']): string {
  return chart.kind === 'ewma'
    ? `EWMA weight ${chart.weight}, width ${chart.width}`
    : `CUSUM allowance ${chart.allowance}, decision ${chart.decision}`;
}

function runLength(rule: DriftRule, draw: () => number): number {
  let chart: DriftChart = knowing();
  for (let count = 1; ; count += 1) {
    chart = chartAfter(chart, { timeMs: count, value: draw(), target: null }, rule);
    const reach = driftReach(chart, rule);
    if (reach !== null && Math.max(reach.up, reach.down) > 1) return count;
  }
}

/** Zero-state: the chart knows center and spread exactly and stands at its center. */
function knowing(): DriftChart {
  const sums = { high: 0, low: 0 };
  return {
    ...NEW_CHART,
    phase: 'watching',
    center: 0,
    deviation: 1,
    widening: 1,
    count: 0,
    average: 0,
    sums,
  };
}

function ruleWith(chart: DriftRule['chart']): DriftRule {
  return {
    id: 'a.line.chart',
    line: 'a',
    machine: null,
    card: 'none',
    kind: 'drift',
    subject: 'a.line.figure',
    unit: '1',
    chart,
    sampleMs: 1,
    center: 'learned',
    learnSamples: 8,
    deviationMin: 1e-9,
  };
}
