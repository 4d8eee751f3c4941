import { describe, expect, it } from 'vitest';
import type { TagDescription } from '#server/contract/tag-description.ts';
import { badReading } from '#tests/line/demo-readings.ts';
import { figureOf } from '#tests/line/small-line.ts';
import {
  lotFrom,
  lotMark,
  MINUTE_MS,
  ranWhole,
  readingsOf,
  shiftFrom,
  STEADY,
  wholeSetup,
} from '#tests/line/whole-line.ts';

const setup = wholeSetup();
const TEN_MINUTES_S = 600;
const lot = lotFrom(2 * MINUTE_MS);

describe('figures of a lot', () => {
  const step = ranWhole(setup, readingsOf(STEADY, TEN_MINUTES_S), { lot });

  it('count the feed from the start of the lot: 8 min of 10,000 kg/h, by hand', () => {
    expect(figureOf(step, 'w.line.feed-mass-lot').value).toBeCloseTo((10_000 * 8) / 60, 0);
  });

  it('count clean seed from when the first of the lot can be there: 30 s later, by hand', () => {
    expect(figureOf(step, 'w.line.clean-mass-lot').value).toBeCloseTo((9000 * 7.5) / 60, 0);
  });

  it('are quotients of the totals of the same seed: 0.9, by hand', () => {
    expect(figureOf(step, 'w.line.yield-lot').value).toBeCloseTo(0.9, 9);
    expect(figureOf(step, 'w.table.reject-share-lot').value).toBeCloseTo(0.06, 9);
    expect(figureOf(step, 'w.line.closure-lot').value).toBeCloseTo(0, 9);
    expect(figureOf(step, 'w.line.rejects-by-difference-lot').value).toBeCloseTo((1000 * 7.5) / 60, 0);
  });

  it('leave the seed of the lot before out, though it passes the clean scale after the change', () => {
    // Until the change all was lost; what passes in the 30 s after it still is the old lot's.
    const poor = (second: number) => (second < 150 ? 3000 : 9000);
    const changed = ranWhole(setup, readingsOf({ ...STEADY, 'w.table.flow': poor }, TEN_MINUTES_S), { lot });
    expect(figureOf(changed, 'w.line.yield-lot').value).toBeCloseTo(0.9, 3);
  });

  it('follow the mark of the operator where it says otherwise than the lag', () => {
    // Seed came 60 s later than the lag says: without the mark the old lot's would count.
    const poor = (second: number) => (second < 210 ? 3000 : 9000);
    const readings = readingsOf({ ...STEADY, 'w.table.flow': poor }, TEN_MINUTES_S);
    const marks = [lotMark('table', 210_000)];
    expect(figureOf(ranWhole(setup, readings, { lot }), 'w.line.yield-lot').value).toBeLessThan(0.85);
    const marked = ranWhole(setup, readings, { lot, marks });
    expect(figureOf(marked, 'w.line.clean-mass-lot').value).toBeCloseTo((9000 * 6.5) / 60, 0);
  });

  it('say that no lot runs, and that its seed has not come this far', () => {
    const readings = readingsOf(STEADY, TEN_MINUTES_S);
    expect(figureOf(ranWhole(setup, readings), 'w.line.yield-lot').because).toBe('no-lot');
    const young = ranWhole(setup, readings, { lot: lotFrom(590_000) });
    expect(figureOf(young, 'w.line.yield-lot').because).toBe('line-filling');
    expect(figureOf(young, 'w.line.feed-mass-lot').value).toBeCloseTo(10_000 / 360, 0);
  });
});

describe('counters', () => {
  const flowLess = readingsOf(STEADY, TEN_MINUTES_S).filter(
    ({ tag, sourceTimeMs }) => tag !== 'w.pit.flow' || sourceTimeMs < 200_000 || sourceTimeMs > 400_000,
  );

  it('go on counting while nobody reads the rate: the lot is covered in full', () => {
    const step = ranWhole(setup, flowLess, { lot });
    expect(figureOf(step, 'w.line.feed-mass-lot')).toMatchObject({ quality: 'good', coveredRatio: 1 });
    expect(figureOf(step, 'w.line.feed-mass-lot').value).toBeCloseTo((10_000 * 8) / 60, 0);
  });

  it('roll over at 1,000 kg and lose nothing: 1,333 kg, by hand', () => {
    expect(
      figureOf(ranWhole(setup, readingsOf(STEADY, TEN_MINUTES_S), { lot }), 'w.line.feed-mass-lot').value,
    ).toBeCloseTo(1333.3, 0);
  });

  it('that are reset leave the interval uncovered and make no mass of it', () => {
    const reset = readingsOf(STEADY, TEN_MINUTES_S).map((each) =>
      each.tag === 'w.table.total' && each.sourceTimeMs >= 300_000
        ? { ...each, value: (each.value ?? 0) - 900 - (9000 * 300) / 3600 }
        : each,
    );
    const mass = figureOf(ranWhole(setup, reset, { lot }), 'w.line.clean-mass-lot');
    expect(mass.value).toBeCloseTo((9000 * 7.5) / 60, -1);
    expect(mass.coveredRatio).toBeLessThan(1);
    expect(mass.coveredRatio).toBeGreaterThan(0.99);
  });

  it('that are bad give way to the rate', () => {
    const readings = [...readingsOf(STEADY, TEN_MINUTES_S), badReading('w.pit.total', 600_001)];
    // The bad reading makes a last frame, which ends at 601 s.
    const step = ranWhole(setup, readings, { lot });
    expect(figureOf(step, 'w.line.feed-mass-lot').value).toBeCloseTo((10_000 * 481) / 3600, 0);
  });
});

describe('figures of a shift', () => {
  it('take the hours of the shift at each scale, and the same seed for the quotient', () => {
    const step = ranWhole(setup, readingsOf(STEADY, TEN_MINUTES_S), { shift: shiftFrom(4 * MINUTE_MS) });
    expect(figureOf(step, 'w.line.feed-mass-shift').value).toBeCloseTo(1000, 0);
    expect(figureOf(step, 'w.line.clean-mass-shift').value).toBeCloseTo(900, 0);
    expect(figureOf(step, 'w.line.yield-shift').value).toBeCloseTo(0.9, 9);
  });

  it('say what share of the shift was seen, and nothing when that is too little', () => {
    const readings = readingsOf(STEADY, TEN_MINUTES_S);
    const half = ranWhole(setup, readings, { shift: shiftFrom(-5 * MINUTE_MS) });
    expect(figureOf(half, 'w.line.feed-mass-shift').coveredRatio).toBeCloseTo(10 / 15, 2);
    expect(figureOf(half, 'w.line.feed-mass-shift').value).toBeCloseTo(10_000 / 6, 0);
    const little = ranWhole(setup, readings, { shift: shiftFrom(-30 * MINUTE_MS) });
    expect(figureOf(little, 'w.line.feed-mass-shift').because).toBe('window-uncovered');
  });
});

describe('an uncertainty', () => {
  const step = ranWhole(setup, readingsOf(STEADY, TEN_MINUTES_S), { lot });

  it('of a yield is that of two scales of 0.25 %: 0.9 x 0.25 % x root 2, by hand', () => {
    expect(figureOf(step, 'w.line.yield-lot').uncertainty).toBe(
      Number((0.9 * 0.0025 * Math.SQRT2).toPrecision(2)),
    );
  });

  it('is not known where an instrument is not stated', () => {
    const bare = wholeSetup();
    const tracked = new Map([...bare.tracked].map(([id, tag]) => [id, withoutError(tag)]));
    const readings = readingsOf(STEADY, TEN_MINUTES_S);
    const figure = figureOf(ranWhole({ ...bare, tracked }, readings, { lot }), 'w.line.yield-lot');
    expect(figure).toMatchObject({ uncertainty: null, quality: 'good' });
  });

  it('holds what the lag may be wrong by while the feed changes', () => {
    const ramp = (second: number) => 10_000 + 20 * second;
    const changing = ranWhole(setup, readingsOf({ ...STEADY, 'w.pit.flow': ramp }, TEN_MINUTES_S), { lot });
    // 20 kg/h a second x root(1 s^2 + 2 s^2) is 45 kg/h of 21,500: 0.2 % of the yield beside the two scales.
    const now = figureOf(changing, 'w.line.yield');
    expect(now.uncertainty ?? 0).toBeGreaterThan((now.value ?? 0) * 0.0025 * Math.SQRT2);
  });
});

function withoutError(tag: TagDescription): TagDescription {
  const { error, ...rest } = tag;
  return error === undefined ? tag : rest;
}
