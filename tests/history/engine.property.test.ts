import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { SeriesDefinition } from '#server/ports/sample-store.ts';
import { naiveBucket, naiveIntegral, type PlainSample, type Rule } from '../support/naive-buckets.ts';
import { batchOf, flow, running, START_MS, type SampleRow } from '../support/sample-builders.ts';
import { newHarness, type Harness } from './engine-harness.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAYS_MS = 3 * 24 * HOUR_MS;
const CHANGE_AFTER_MS = 30 * HOUR_MS;

/** What happens to a store: samples come, time passes, the process ends and starts again. */
type Step =
  | { readonly does: 'append'; readonly rows: readonly SampleRow[] }
  | { readonly does: 'rest' | 'settle' | 'reopen' };

const value = fc.integer({ min: -3000, max: 3000 }).map((n) => n / 10);
/** Regular runs, lone samples hours apart, bad readings, gap markers; anywhere in three days, so mostly late. */
const run = fc
  .record({
    series: fc.constantFrom(1, 2),
    startMs: fc.integer({ min: 0, max: DAYS_MS }),
    stepMs: fc.constantFrom(100, 1000, 5000, 7 * MINUTE_MS),
    values: fc.array(fc.option(value, { freq: 12, nil: NaN }), { minLength: 1, maxLength: 60 }),
    jitterMs: fc.integer({ min: 0, max: 40 }),
  })
  .map(({ series, startMs, stepMs, values, jitterMs }) =>
    values.map((v, i): SampleRow => {
      const afterMs = startMs + i * stepMs + ((i * 7919) % (jitterMs + 1));
      return Number.isNaN(v)
        ? [series, afterMs, NaN, i % 2 === 0 ? 2 : 4, 3]
        : [series, afterMs, v, v > 250 ? 1 : 0];
    }),
  );
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc
      .array(run, { minLength: 1, maxLength: 6 })
      .map((runs): Step => ({ does: 'append', rows: runs.flat() })),
  },
  { weight: 3, arbitrary: fc.constantFrom<Step>({ does: 'rest' }, { does: 'settle' }, { does: 'reopen' }) },
);
const scenario = fc.array(step, { minLength: 1, maxLength: 10 });

const changed: SeriesDefinition = { ...flow, unit: 'kg', interpolation: 'linear', heldMs: 30 * MINUTE_MS };

describe('the engine, against samples in a plain list', () => {
  it('answers raw, thinned, total and value the same, whatever came late, twice or disordered', () => {
    fc.assert(
      fc.property(
        scenario,
        fc.integer({ min: 1, max: 400 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (steps, buckets, part) => {
          const { harness, expected } = played(steps);
          try {
            for (const series of [1, 2]) {
              expectSameRaw(harness, series, expected(series));
              const fromMs = START_MS + Math.floor(part * DAYS_MS);
              for (const spanMs of [HOUR_MS, 9 * HOUR_MS, DAYS_MS]) {
                expectSameThinned(
                  harness,
                  { series, fromMs, toMs: fromMs + spanMs, buckets },
                  expected(series),
                );
              }
              expectSameTotals(harness, series, expected(series));
            }
          } finally {
            harness.remove();
          }
        },
      ),
      { numRuns: 60 },
    );
  }, 120_000);

  it('answers from rollups as from samples: the same buckets before and after days are rolled up', () => {
    fc.assert(
      fc.property(
        fc.array(run, { minLength: 5, maxLength: 30 }),
        fc.integer({ min: 1, max: 50 }),
        (runs, buckets) => {
          const { harness } = played([{ does: 'append', rows: runs.flat() }]);
          try {
            const request = { series: 1, fromMs: START_MS, toMs: START_MS + DAYS_MS, buckets };
            const bySamples = harness.thinned(request);
            harness.settle();
            const byRollups = harness.thinned(request);
            expect([...byRollups.timeMs]).toEqual([...bySamples.timeMs]);
            for (const column of ['first', 'last', 'min', 'max', 'count'] as const) {
              expect([...byRollups[column]]).toEqual([...bySamples[column]]);
            }
            expectClose(byRollups.mean, bySamples.mean);
            expectClose(byRollups.coveredRatio, bySamples.coveredRatio);
            expectClose(byRollups.uncertainRatio, bySamples.uncertainRatio);
          } finally {
            harness.remove();
          }
        },
      ),
      { numRuns: 60 },
    );
  }, 60_000);
});

function played(steps: readonly Step[]): {
  readonly harness: Harness;
  readonly expected: (series: number) => readonly PlainSample[];
} {
  const harness = newHarness(START_MS + 2 * DAYS_MS);
  const model = new Map<number, Map<number, PlainSample>>([
    [1, new Map()],
    [2, new Map()],
  ]);
  harness.engine.register([flow, running], 0);
  harness.engine.register([changed], START_MS + CHANGE_AFTER_MS);
  for (const [sequence, action] of steps.entries()) {
    if (action.does === 'append') {
      harness.append(batchOf(sequence, action.rows));
      for (const [series, afterMs, v, status = 0, reason = 0] of action.rows) {
        const timeMs = START_MS + afterMs;
        const rounded = series === 2 ? Math.round(v) : v;
        model.get(series)?.set(timeMs, { timeMs, value: rounded, status, reason });
      }
    } else {
      harness.nowMs += 11 * MINUTE_MS;
      harness[action.does]();
    }
  }
  const expected = (series: number): readonly PlainSample[] =>
    [...(model.get(series)?.values() ?? [])].sort((a, b) => a.timeMs - b.timeMs);
  return { harness, expected };
}

function ruleOf(series: number): (timeMs: number) => Rule {
  if (series === 2) return () => ({ interpolation: 'step', heldMs: null, endsMs: Infinity });
  const changeMs = START_MS + CHANGE_AFTER_MS;
  return (timeMs) =>
    timeMs < changeMs
      ? { interpolation: 'linear', heldMs: flow.heldMs, endsMs: changeMs }
      : { interpolation: 'linear', heldMs: changed.heldMs, endsMs: Infinity };
}

function expectSameRaw(harness: Harness, series: number, expected: readonly PlainSample[]): void {
  expect(harness.raw(series, 0, START_MS + 2 * DAYS_MS)).toEqual(
    expected.map((s) => ({ ...s, value: s.value + 0 })),
  );
  const middle = START_MS + DAYS_MS / 2;
  expect(harness.raw(series, middle, middle + HOUR_MS)).toEqual(
    expected
      .filter(({ timeMs }) => timeMs >= middle && timeMs < middle + HOUR_MS)
      .map((s) => ({ ...s, value: s.value + 0 })),
  );
  const newest = expected.findLast(({ timeMs }) => timeMs <= middle);
  expect(harness.engine.valuesAt([series], middle)).toEqual(
    newest === undefined ? [] : [{ series, ...newest, value: newest.value + 0 }],
  );
}

function expectSameThinned(
  harness: Harness,
  request: Parameters<Harness['thinned']>[0],
  samples: readonly PlainSample[],
): void {
  const answer = harness.thinned(request);
  expect(answer.timeMs.length).toBeLessThanOrEqual(request.buckets);
  expect(answer.timeMs[0]).toBeLessThanOrEqual(request.fromMs);
  expect(answer.endMs).toBeGreaterThanOrEqual(request.toMs);
  const edges = [...answer.timeMs, answer.endMs];
  const naive = Array.from(answer.timeMs, (fromMs, i) =>
    naiveBucket(samples, ruleOf(request.series), { fromMs, toMs: edges[i + 1] ?? NaN }),
  );
  for (const column of ['first', 'last', 'min', 'max', 'count'] as const) {
    expect(Array.from(answer[column], (v) => v + 0)).toEqual(naive.map((bucket) => bucket[column] + 0));
  }
  expectClose(
    answer.mean,
    naive.map(({ mean }) => mean),
  );
  expectClose(
    answer.coveredRatio,
    naive.map(({ coveredRatio }) => coveredRatio),
  );
  expectClose(
    answer.uncertainRatio,
    naive.map(({ uncertainRatio }) => uncertainRatio),
  );
}

function expectSameTotals(harness: Harness, series: number, samples: readonly PlainSample[]): void {
  const window = { fromMs: START_MS + 20 * MINUTE_MS + 17, toMs: START_MS + DAYS_MS - 12_345 };
  const [total] = [...harness.engine.totals({ series: [series], ...window })].filter(
    (piece) => piece !== null,
  );
  const { integral, coveredMs } = naiveIntegral(samples, ruleOf(series), window);
  expect(total?.coveredMs).toBeCloseTo(coveredMs, 3);
  expectClose([total?.integralUnitH ?? 0], [coveredMs > 0 ? integral / HOUR_MS : NaN]);
  if (series === 1) return;
  const spentMs = total?.timeInState.reduce((sum, state) => sum + state.spentMs, 0);
  expect(spentMs).toBeCloseTo(coveredMs, 3);
}

/** Within rounding: sums of the same products in another order. */
function expectClose(got: ArrayLike<number>, expected: ArrayLike<number>): void {
  expect(got.length).toBe(expected.length);
  for (let i = 0; i < got.length; i++) {
    const [a, b] = [got[i] ?? NaN, expected[i] ?? NaN];
    if (Number.isNaN(a) && Number.isNaN(b)) continue;
    if (Math.abs(a - b) > 1e-9 * Math.max(1, Math.abs(b))) expect.fail(`at ${i}: got ${a}, expected ${b}`);
  }
}
