import { describe, expect, it } from 'vitest';
import type { UnitCode } from '#server/contract/unit-code.ts';
import { stretchReports } from '#server/reports/stretch-reports.ts';
import type { Signal } from '#tests/support/fake-signal.ts';
import { signalStore } from '#tests/support/signal-store.ts';

const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;
const { signal: wanted } = new AbortController();

const feed = { name: 'a.line.feed-rate', series: 0, unit: 'kg/h', interpolation: 'linear' } as const;

async function measured(signal: Signal, how: { readonly unit?: UnitCode; readonly toMs?: number } = {}) {
  const { unit = 'kg/h', toMs = HOUR_MS } = how;
  const reports = stretchReports(signalStore([signal]));
  const answer = await reports.measured({ series: [{ ...feed, unit }], fromMs: 0, toMs }, wanted);
  const [one] = answer.series;
  if (one === undefined) throw new Error('nothing was measured');
  return one;
}

describe('what is measured', () => {
  it('is 9000 kg for an hour at 9000 kg/h, by hand', async () => {
    const found = await measured(() => 9000);
    expect(found.total?.unit).toBe('kg');
    expect(found.total?.value).toBeCloseTo(9000, 6);
    expect(found).toMatchObject({
      mean: 9000,
      min: 9000,
      max: 9000,
      difference: 0,
      standardDeviation: 0,
      coveredRatio: 1,
    });
  });

  it('is 18 litres for an hour at 300 mL/min, by hand', async () => {
    const { total } = await measured(() => 300, { unit: 'mL/min' });
    expect(total?.unit).toBe('mL');
    expect(total?.value).toBeCloseTo(18_000, 6);
  });

  it('has a slope of 120 per hour where a value rises by 2 a minute, by hand', async () => {
    const found = await measured((timeMs) => (2 * timeMs) / MINUTE_MS, { unit: 'degC' });
    expect(found.slopePerH).toBeCloseTo(120, 3);
    expect(found.mean).toBeCloseTo(60, 1);
    expect(found.difference).toBeCloseTo(120, 1);
    expect(found.total).toBeNull();
  });

  it('counts only what was known into mean and total, and says how much that was', async () => {
    const found = await measured((timeMs) => (timeMs < HOUR_MS / 4 ? null : 100));
    expect(found.mean).toBeCloseTo(100, 6);
    expect(found.coveredRatio).toBeCloseTo(0.75, 2);
    expect(found.total?.value).toBeCloseTo(75, 0);
  });

  it('is not known, not nought, where nothing was', async () => {
    expect(await measured(() => null)).toMatchObject({
      ...{ first: null, last: null, difference: null, slopePerH: null, mean: null, min: null, max: null },
      ...{ standardDeviation: null, total: null, coveredRatio: 0 },
    });
  });

  it('does not lose a spike that is shorter than a step', async () => {
    const found = await measured((timeMs) => (Math.abs(timeMs - 2003 * 864) < 1 ? 999 : 1), {
      toMs: 24 * HOUR_MS,
    });
    expect(found.max).toBe(999);
  });
});

describe('before and after', () => {
  const atMs = 10 * HOUR_MS;
  /** Noise that a change of one stands out of; the same at each asking. */
  const noise = (timeMs: number) =>
    Math.sin(timeMs / 7000) + Math.sin(timeMs / 2300 + 1) + Math.sin(timeMs / 911);

  async function asked(signal: Signal, { nowMs = 20 * HOUR_MS, settleMs = 5 * MINUTE_MS } = {}) {
    const reports = stretchReports(signalStore([signal]));
    const request = { series: [feed], atMs, spanMs: 30 * MINUTE_MS, settleMs, nowMs };
    const answer = await reports.beforeAfter(request, wanted);
    const [one] = answer.series;
    if (one === undefined) throw new Error('nothing was compared');
    return { answer, one };
  }

  it('tells a change from chance, and brackets it', async () => {
    const { one } = await asked((timeMs) => noise(timeMs) + (timeMs > atMs ? 3 : 0));
    expect(one.difference).toBeCloseTo(3, 0);
    expect(one.low).toBeGreaterThan(2);
    expect(one.low).toBeLessThan(3);
    expect(one.high).toBeGreaterThan(3);
  });

  it('claims nothing where nothing changed', async () => {
    const { one } = await asked(noise);
    expect(one.low).toBeLessThan(0);
    expect(one.high).toBeGreaterThan(0);
  });

  it('leaves out the time in which the change works its way through', async () => {
    const settling = (timeMs: number) =>
      noise(timeMs) + (timeMs > atMs && timeMs < atMs + 5 * MINUTE_MS ? 500 : 0);
    const { one } = await asked(settling);
    expect(one.after?.mean).toBeCloseTo(0, 0);
  });

  it('counts resembling neighbours as fewer values', async () => {
    const { one } = await asked(noise);
    expect(one.before?.count).toBe(1200);
    expect(one.before?.effectiveCount).toBeLessThan(600);
  });

  it('looks at no time that is not over, and compares nothing while there is none', async () => {
    const { answer, one } = await asked(noise, { nowMs: atMs + MINUTE_MS });
    expect(answer.afterMs).toBe(0);
    expect(one).toMatchObject({ after: null, difference: null, low: null, high: null });
    expect(one.before).not.toBeNull();
  });

  it('says nothing of a side of which less than half is known', async () => {
    const { one } = await asked((timeMs) =>
      timeMs > atMs && timeMs < atMs + 25 * MINUTE_MS ? null : noise(timeMs),
    );
    expect(one.after).toBeNull();
  });
});
