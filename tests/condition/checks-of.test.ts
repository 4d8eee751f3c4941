import { describe, expect, it } from 'vitest';
import { checksOf, type CheckedNow } from '#server/condition/checks-of.ts';
import { warmthAfter } from '#server/condition/kept-warmth.ts';
import { GLIMPSE_MS } from '#server/condition/recorded-stretch.ts';
import { learntFrom } from '#server/condition/stored-baseline.ts';
import { ratio } from '#server/calc/units.ts';
import type { Glimpse } from '#server/machines/step-point.ts';
import { aBaseline } from '#tests/support/record-builders.ts';

const glimpse = (values: Readonly<Record<string, number>>, changes: Partial<Glimpse> = {}): Glimpse => ({
  timeMs: 0,
  isRunning: true,
  group: 'wheat',
  values: new Map(Object.entries(values)),
  influences: new Map([['ambient', 20]]),
  ...changes,
});

const [signal] = aBaseline().signals;
/** A fan that made 1500 Pa at 1470 r/min and 20 degC while it was well. */
const LEARNT = learntFrom({
  ...aBaseline(),
  id: 1,
  writtenBy: { id: 'Mia', role: 'maintenance' },
  writtenMs: 0,
  signals: [
    ['fan-pressure', 1500],
    ['motor-speed', 1470],
  ].map(([name, usual]) => ({
    widening: 1,
    shared: 0,
    blockDeviation: 1,
    signal: String(name),
    usual: Number(usual),
    groups: (signal?.groups ?? []).map((group) => ({
      ...group,
      influences: [{ name: 'ambient', middle: 20, spread: 5, low: 10, high: 30 }],
    })),
  })),
});

const now = (seen: Glimpse | null, changes: Partial<CheckedNow> = {}): CheckedNow => ({
  entry: { id: 'fan', name: 'Fan', line: 'a', machine: 'air-screen', kind: 'fan' },
  glimpse: seen,
  learnt: LEARNT,
  warmth: null,
  serviced: { runHours: 0, starts: 0 },
  ...changes,
});

describe('checksOf', () => {
  it('checks nothing while the machine stands, or before it was seen', () => {
    expect(checksOf(now(glimpse({ vibration: 9 }, { isRunning: false })))).toEqual([]);
    expect(checksOf(now(null))).toEqual([]);
  });

  it('finds nothing wrong with a fan that turns 10 % faster in air of 40 degC (fan laws; ideal gas)', () => {
    const pressure = 1500 * 1.21 * (293.15 / 313.15);
    const seen = glimpse(
      { 'fan-pressure': pressure, 'motor-speed': 1617 },
      { influences: new Map([['ambient', 40]]) },
    );
    const [check] = checksOf(now(seen));
    expect(check).toMatchObject({ check: 'fan-law-pressure', verdict: 'good' });
    expect(check?.value).toBeCloseTo(0, 10);
  });

  it('finds a pressure 20 % below the law worth watching', () => {
    const [check] = checksOf(now(glimpse({ 'fan-pressure': 1200, 'motor-speed': 1470 })));
    expect(check?.value).toBeCloseTo(0.2, 10);
    expect(check?.verdict).toBe('watch');
  });

  it('tells what is due by counters since the last service', () => {
    const { entry } = now(null);
    const checks = checksOf(
      now(glimpse({ 'run-hours': 3000, starts: 900 }), {
        entry: { ...entry, service: [{ task: 'grease', everyRunHours: 2000, everyStarts: 1000 }] },
        serviced: { runHours: 950, starts: 100 },
      }),
    );
    expect(checks.map(({ check, value, verdict }) => [check, value, verdict])).toEqual([
      ['service-hours', 2050, 'act'],
      ['service-starts', 800, 'good'],
    ]);
  });
});

describe('warmthAfter', () => {
  const running = (minutes: number) =>
    Array.from({ length: (minutes * 60_000) / GLIMPSE_MS }, () => glimpse({ 'motor-current': 10.5 }));

  it('comes to 1 at the current that the motor bears for ever, by two thirds in one time constant of 20 min', () => {
    expect(warmthAfter(null, running(20), 10)).toBeCloseTo(1 - Math.exp(-1), 6);
    expect(warmthAfter(null, running(400), 10)).toBeCloseTo(1, 6);
  });

  it('cools four times slower, and waits while nobody knows', () => {
    const still = running(80).map((seen) => ({ ...seen, isRunning: false }));
    expect(warmthAfter(ratio(1), still, 10)).toBeCloseTo(Math.exp(-1), 6);
    const unknown = running(80).map((seen) => ({ ...seen, isRunning: null }));
    expect(warmthAfter(ratio(0.4), unknown, 10)).toBe(0.4);
  });

  it('is not known without a plate', () => {
    expect(warmthAfter(null, running(20), undefined)).toBeNull();
  });
});
