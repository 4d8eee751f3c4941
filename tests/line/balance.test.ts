import { describe, expect, it } from 'vitest';
import type { BalanceReport } from '#server/contract/balance-report.ts';
import { figureOf } from '#tests/line/small-line.ts';
import {
  lotFrom,
  ranWhole,
  readingsOf,
  STEADY,
  WHOLE_GRAPH,
  wholeSetup,
  type Flows,
} from '#tests/line/whole-line.ts';

const MINUTES_45_S = 45 * 60;
const lot = lotFrom(0);
/** Bags take the seed with 59.4 kg/h of liquid, 40 % of it solid, at the moisture that the seed came with. */
const TREATED_PER_SEED = (9000 + (59.4 * 0.4) / 0.88) / 9000;

/** The reports of a run; counters of the whole line count what flows. */
function reportsOf(flows: Flows, setup = wholeSetup()): readonly BalanceReport[] {
  const readings = readingsOf({ ...STEADY, ...flows }, MINUTES_45_S, 10).map((each) =>
    each.tag === 'w.bagger.total' ? { ...each, value: (each.value ?? 0) * TREATED_PER_SEED } : each,
  );
  const { steps } = ranWhole(setup, readings, { lot, tickMs: 10_000 });
  return steps.flatMap(({ balance }) => (balance === null ? [] : [balance]));
}
const lastOf = (reports: readonly BalanceReport[]) => {
  const last = reports.at(-1);
  if (last === undefined) throw new Error('no balance was made');
  return last;
};
const reads = (value: number, share: number, fromS = 0) => {
  return (second: number) => (second < fromS ? value : value * (1 + share));
};

describe('the balance of a line', () => {
  it('fits while all scales are right, closes, and leaves the measured flows as they are', () => {
    const report = lastOf(reportsOf({}));
    expect(report).toMatchObject({ verdict: 'fits', suspects: [], sinceMs: null });
    expect(report.closureRatio).toBeCloseTo(0, 4);
    const feed = report.streams.find(({ stream }) => stream === 'feed');
    expect(feed?.measuredKgPerH).toBeCloseTo(10_000, 6);
    expect(feed?.reconciledKgPerH).toBeCloseTo(10_000, 0);
  });

  it('is not made before the line has run for the whole window, nor across a stop', () => {
    const [first] = reportsOf({});
    expect(first?.verdict).toBe('not-running');
    const stop = (value: number) => (second: number) => (second > 2400 && second < 2500 ? 0 : value);
    expect(lastOf(reportsOf({ 'w.pit.flow': stop(10_000), 'w.table.flow': stop(9000) })).verdict).toBe(
      'not-running',
    );
  });

  it('names the clean scale, which stands in two balances alone, with sign and size', () => {
    const report = lastOf(reportsOf({ 'w.table.flow': reads(9000, 0.02) }));
    expect(report.suspects).toHaveLength(1);
    expect(report.suspects[0]).toMatchObject({ stream: 'clean', tag: 'w.table.flow' });
    expect(report.suspects[0]?.errorRatio).toBeCloseTo(0.02, 2);
  });

  it('names the intake scale out of its group, because a reject would have to be wrong by half of itself', () => {
    const report = lastOf(reportsOf({ 'w.pit.flow': reads(10_000, 0.021) }));
    expect(report).toMatchObject({ verdict: 'instrument', suspects: [{ stream: 'feed' }] });
    // 2.1 % of 10,000 kg/h in 10,210, weighed with the tolerances of the scales, by hand.
    expect(report.suspects[0]?.errorRatio).toBeCloseTo(0.021, 3);
  });

  it('says since when: within a window of the step, once three minutes have said the same', () => {
    const report = lastOf(reportsOf({ 'w.pit.flow': reads(10_000, 0.021, 1500) }));
    expect(report.verdict).toBe('instrument');
    expect(report.sinceMs ?? 0).toBeGreaterThan(1_500_000);
    expect(report.sinceMs ?? 0).toBeLessThan(1_500_000 + 15 * 60_000);
  });

  it('names a group where several could be wrong alike, and never guesses', () => {
    // Without rejects between them both scales stand in one balance: either could be 2 % out.
    const streams = WHOLE_GRAPH.streams
      .filter(({ role }) => role === 'main')
      .map((stream) =>
        ['feed', 'clean'].includes(stream.id) ? stream : { ...stream, massFlowTag: null, massTotalTag: null },
      );
    const setup = wholeSetup({ graph: { ...WHOLE_GRAPH, streams } });
    const report = lastOf(reportsOf({ 'w.table.flow': 9800 }, setup));
    expect(report.verdict).toBe('candidates');
    expect(report.suspects.map(({ stream }) => stream)).toEqual(['feed', 'clean']);
    expect(report.suspects.map(({ errorRatio }) => Math.sign(errorRatio))).toEqual([1, -1]);
  });

  it('says imbalance where no plausible error of one scale explains it', () => {
    const report = lastOf(reportsOf({ 'w.pit.flow': 12_000 }));
    expect(report).toMatchObject({ verdict: 'imbalance', suspects: [] });
  });

  it('says that nothing can be checked where a reject between the scales is not weighed', () => {
    const streams = WHOLE_GRAPH.streams.map((stream) => {
      const isKept = ['feed', 'clean'].includes(stream.id);
      return isKept || stream.role === 'liquid'
        ? stream
        : { ...stream, massFlowTag: null, massTotalTag: null };
    });
    const report = lastOf(
      reportsOf({ 'w.pit.flow': 12_000 }, wholeSetup({ graph: { ...WHOLE_GRAPH, streams } })),
    );
    expect(report).toMatchObject({ verdict: 'no-redundancy', suspects: [] });
    expect(report.streams.find(({ stream }) => stream === 'feed')?.reconciledKgPerH).toBeCloseTo(12_000, 6);
  });

  it('calls a small reject beside a large scale not observable', () => {
    const report = lastOf(reportsOf({ 'w.table.lights': 4, 'w.table.flow': 9596 }));
    expect(report.streams.find(({ stream }) => stream === 'lights')?.isObservable).toBe(false);
    expect(report.streams.find(({ stream }) => stream === 'screenings')?.isObservable).toBe(true);
  });
});

describe('figures of the balance', () => {
  it('stand beside the measured rate, with the error of the instrument that is named', () => {
    const readings = readingsOf({ ...STEADY, 'w.pit.flow': 10_210 }, MINUTES_45_S, 10).map((each) =>
      each.tag === 'w.bagger.total' ? { ...each, value: (each.value ?? 0) * TREATED_PER_SEED } : each,
    );
    const step = ranWhole(wholeSetup(), readings, { lot, tickMs: 10_000 });
    expect(figureOf(step, 'w.line.feed-rate').value).toBeCloseTo(10_210, 6);
    expect(figureOf(step, 'w.line.reconciled-rate-feed').value).toBeLessThan(10_200);
    expect(figureOf(step, 'w.line.instrument-error-feed').value).toBeCloseTo(0.021, 3);
    expect(figureOf(step, 'w.line.instrument-error-clean').value).toBe(0);
  });

  it('are unknown because the line stands, not zero', () => {
    const step = ranWhole(wholeSetup(), readingsOf({ ...STEADY, 'w.pit.flow': 0 }, 300), { lot });
    expect(figureOf(step, 'w.line.reconciled-rate-feed').because).toBe('line-stopped');
    expect(figureOf(step, 'w.line.instrument-error-feed').because).toBe('line-stopped');
  });
});
