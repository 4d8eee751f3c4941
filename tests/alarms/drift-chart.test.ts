import { describe, expect, it } from 'vitest';
import {
  chartAfter,
  driftReach,
  NEW_CHART,
  type DriftChart,
  type DriftRule,
} from '#server/alarms/drift-chart.ts';
import { SEED } from '#tests/support/seed.ts';
import { alarmRig, type Rig } from './alarm-rig.ts';

const MINUTE = 60_000;
const FIGURE = 'a.gravity-table.reject-share';

function driftRule(more: Partial<DriftRule> = {}): DriftRule {
  return {
    id: 'a.gravity-table.reject-drift',
    line: 'a',
    machine: 'gravity-table',
    card: 'medium',
    kind: 'drift',
    subject: FIGURE,
    unit: '1',
    chart: { kind: 'ewma', weight: 0.3, width: 3 },
    sampleMs: MINUTE,
    center: 'learned',
    learnSamples: 20,
    deviationMin: 0.0001,
    ...more,
  };
}

/** A chart that has learned, so that published series can be laid on it. */
function watching(center: number, deviation: number): DriftChart {
  const sums = { high: 0, low: 0 };
  return { phase: 'watching', nextMs: 0, center, deviation, widening: 1, count: 0, average: center, sums };
}

function run(chart: DriftChart, values: readonly number[], rule: DriftRule): readonly DriftChart[] {
  let at = chart;
  return values.map(
    (value, index) => (at = chartAfter(at, { timeMs: index * MINUTE, value, target: null }, rule)),
  );
}

const reaches = (charts: readonly DriftChart[], rule: DriftRule) =>
  charts.map((chart) => {
    const { up, down } = driftReach(chart, rule) ?? { up: 0, down: 0 };
    return Math.max(up, down);
  });

describe('driftReach', () => {
  it('follows the EWMA example E1 (NIST/SEMATECH e-Handbook 6.3.2.4): 51.99 in the end, never beyond 52.5884', () => {
    const values = [
      52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
      52.4, 53.6, 52.1,
    ];
    const rule = driftRule();
    const charts = run(watching(50, 2.0539), values, rule);
    expect(charts.at(-1)).toMatchObject({ average: expect.closeTo(51.99, 2) as number });
    expect(driftReach(charts.at(-1) ?? NEW_CHART, rule)?.up).toBeCloseTo((51.99 - 50) / 2.5884, 2);
    expect(Math.max(...reaches(charts, rule))).toBeLessThan(1);
  });

  it('signals at the 14th group of the CUSUM example E2 (NIST/SEMATECH e-Handbook 6.3.2.3)', () => {
    const values = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15,
      328.325, 327.25,
    ];
    const rule = driftRule({ chart: { kind: 'cusum', allowance: 0.3175, decision: 4.1959 } });
    const signals = reaches(run(watching(325, 1), values, rule), rule).map((reach) => reach > 1);
    expect(signals.indexOf(true)).toBe(13);
  });

  it('takes one sample a period, whatever comes between', () => {
    const first = chartAfter(NEW_CHART, { timeMs: 0, value: 1, target: null }, driftRule());
    expect(chartAfter(first, { timeMs: MINUTE - 1, value: 99, target: null }, driftRule())).toBe(first);
  });

  it('widens its limits by what neighbours repeat: by hand sqrt(1.63/0.37) for likeness 0.9 and weight 0.3', () => {
    const chart = { ...watching(0, 1), widening: Math.sqrt(1.63 / 0.37) } as DriftChart;
    expect((1 + 0.7 * 0.9) / (1 - 0.7 * 0.9)).toBeCloseTo(1.63 / 0.37, 12);
    const wide = driftReach({ ...chart, average: 1 } as DriftChart, driftRule())?.up ?? 0;
    const narrow = driftReach({ ...watching(0, 1), average: 1 } as DriftChart, driftRule())?.up ?? 0;
    expect(narrow / wide).toBeCloseTo(Math.sqrt(1.63 / 0.37), 12);
  });

  it('signals several times less often on values that repeat each other than a chart that takes them as independent', () => {
    const rule = driftRule({ learnSamples: 100, chart: { kind: 'ewma', weight: 0.2, width: 2.962 } });
    let [widened, plain] = [0, 0];
    for (let series = 0; series < 100; series += 1) {
      const charts = run(NEW_CHART, correlated(SEED + series, 600), rule);
      const found = charts.filter((chart) => chart.phase === 'watching');
      const reach = reaches(found, rule);
      const widening = found[0]?.widening ?? 1;
      if (reach.some((value) => value > 1)) widened += 1;
      if (reach.some((value) => value * widening > 1)) plain += 1;
    }
    expect(plain).toBeGreaterThan(95);
    expect(widened).toBeLessThan(plain * 0.75);
  });
});

describe('run lengths of the charts as the rules run them, over 10,000 runs of independent values', () => {
  const RUNS = 10_000;

  /** The mean number of values until the chart signals; it begins at its center (zero-state). */
  function runLength(kind: DriftRule['chart'], shift: number): number {
    const rule = driftRule({ chart: kind });
    const draw = normals(SEED);
    let values = 0;
    for (let count = 0; count < RUNS; count += 1) {
      let chart: DriftChart = { ...watching(0, 1), nextMs: -Infinity };
      for (let reach = 0; reach <= 1; values += 1) {
        chart = chartAfter(chart, { timeMs: values * MINUTE, value: draw() + shift, target: null }, rule);
        const { up, down } = driftReach(chart, rule) ?? { up: 0, down: 0 };
        reach = Math.max(up, down);
      }
    }
    return values / RUNS;
  }

  // EWMA: Lucas & Saccucci, Technometrics 32 (1990) 1. CUSUM: NIST/SEMATECH e-Handbook 6.3.2.3.1 and Montgomery.
  // The long run lengths without a shift (500 and 465) are measured by `npm run bench -- alarms`.
  it.each<[DriftRule['chart'], number, number]>([
    [{ kind: 'ewma', weight: 0.2, width: 2.962 }, 1, 10.5],
    [{ kind: 'ewma', weight: 0.1, width: 2.814 }, 0.5, 31.3],
    [{ kind: 'cusum', allowance: 0.5, decision: 5 }, 1, 10.4],
    [{ kind: 'cusum', allowance: 0.5, decision: 4 }, 0, 168],
  ])('meet the published %o with a shift of %d: %d, within 5 per cent', (kind, shift, printed) => {
    expect(Math.abs(runLength(kind, shift) / printed - 1)).toBeLessThan(0.05);
  });
});

describe('rules on drift', () => {
  const rule = driftRule({ chart: { kind: 'ewma', weight: 0.2, width: 2.962 } });

  /** One value a minute, a small saw-tooth around `level`. */
  function minutes(rig: Rig, [from, to]: readonly [number, number], level: number): void {
    for (let minute = from; minute < to; minute += 1) {
      rig.figure(FIGURE, level + ((minute % 5) - 2) * 0.0005);
      rig.run(minute * MINUTE);
    }
  }

  it('alarm while a figure is still in its band, and name where it should lie', () => {
    const rig = alarmRig([rule], { tickMs: MINUTE });
    minutes(rig, [1, 60], 0.05);
    expect(rig.journal).toEqual([]);
    minutes(rig, [60, 90], 0.052);
    expect(rig.alarm(rule.id)).toMatchObject({
      code: 'drift-up',
      state: 'unacknowledged',
      params: { target: { value: expect.closeTo(0.05, 3) as number, unit: '1' } },
    });
  });

  it('start anew at a setting change of their machine: what was learned no longer holds', () => {
    const rig = alarmRig([rule], { tickMs: MINUTE });
    minutes(rig, [1, 60], 0.05);
    minutes(rig, [60, 90], 0.052);
    rig.restartCharts({ line: 'a', machine: 'gravity-table', timeMs: 90 * MINUTE });
    minutes(rig, [90, 200], 0.052);
    expect(rig.journal.map(({ to }) => to)).toEqual(['unacknowledged', 'returned-unacknowledged']);
  });

  it('take no notice of a setting change of another machine', () => {
    const rig = alarmRig([rule], { tickMs: MINUTE });
    minutes(rig, [1, 60], 0.05);
    rig.restartCharts({ line: 'a', machine: 'scalper', timeMs: 60 * MINUTE });
    minutes(rig, [60, 90], 0.052);
    expect(rig.alarm(rule.id)?.state).toBe('unacknowledged');
  });

  it('do not believe after a start what they saw on the way into the stop before', () => {
    const flow = 'a.intake.mass-flow';
    const armed = {
      all: [{ subject: flow, above: 650, unit: 'kg/h' as const }],
      afterMs: 5 * MINUTE,
    };
    const rig = alarmRig([{ ...rule, armed }], { tickMs: MINUTE });
    rig.read(flow, 30_000, 13_000);
    minutes(rig, [1, 60], 0.05);
    // The machine runs down: a sample far off, and then the flow is gone.
    rig.figure(FIGURE, 0.02);
    rig.run(60 * MINUTE);
    rig.read(flow, 60.5 * MINUTE, 0);
    rig.run(62 * MINUTE);
    const toldBefore = rig.journal.length;
    rig.read(flow, 70 * MINUTE, 13_000);
    minutes(rig, [70, 100], 0.05);
    expect(rig.journal.slice(toldBefore)).toEqual([]);
    minutes(rig, [100, 120], 0.052);
    expect(rig.alarm(rule.id)?.code).toBe('drift-up');
  });

  it('say nothing new while the figure is unknown', () => {
    const rig = alarmRig([rule], { tickMs: MINUTE });
    minutes(rig, [1, 60], 0.05);
    for (let minute = 60; minute < 90; minute += 1) {
      rig.figure(FIGURE, null);
      rig.run(minute * MINUTE);
    }
    expect(rig.journal).toEqual([]);
  });
});

/** A first-order autoregressive series of likeness 0.6, from a seeded generator. */
function correlated(seed: number, length: number): readonly number[] {
  const normal = normals(seed);
  let value = normal();
  return Array.from({ length }, () => (value = 0.6 * value + 0.8 * normal()));
}

function normals(seed: number): () => number {
  let state = (seed % 2_147_483_646) + 1;
  const uniform = () => (state = (state * 16_807) % 2_147_483_647) / 2_147_483_647;
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
