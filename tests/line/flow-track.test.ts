import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Reading } from '#server/contract/reading.ts';
import { emptyTrack, flowBetween, withoutBefore, withPast, withReading } from '#server/line/flow-track.ts';
import { badReading, reading, steady } from '#tests/line/demo-readings.ts';

const BRIDGED_MS = 20_000;
const trackOf = (readings: readonly Reading[], isStep = false) =>
  readings.reduce((track, each) => withReading(track, each, BRIDGED_MS), emptyTrack(isStep));

describe('flowBetween', () => {
  it('is 3600 kg/h x 10 s = 10 kg of a steady flow, by hand', () => {
    const track = trackOf(steady('flow', 3600, { fromMs: 0, toMs: 60_000 }));
    const stretch = flowBetween(track, 20_000, { toMs: 30_000, heldMs: 5000 });
    expect(stretch.total / 3_600_000).toBeCloseTo(10, 12);
    expect(stretch.coveredMs).toBe(10_000);
  });

  it('takes a ramp by the trapezoid: 0 to 100 in 10 s is a mean of 50, by hand', () => {
    const track = trackOf([reading('flow', 0, 0), reading('flow', 10_000, 100)]);
    expect(flowBetween(track, 0, { toMs: 10_000, heldMs: 0 }).total).toBe(500_000);
    expect(flowBetween(track, 0, { toMs: 5000, heldMs: 0 }).total).toBe(125_000);
  });

  it('holds the value of a step tag until the next reading', () => {
    const track = trackOf([reading('state', 0, 0), reading('state', 10_000, 1)], true);
    expect(flowBetween(track, 0, { toMs: 10_000, heldMs: 0 }).total).toBe(0);
  });

  it('bridges a hole of 20 s and calls it doubtful only when a reading beside it is', () => {
    const track = trackOf([
      reading('flow', 0, 100),
      { ...reading('flow', 20_000, 100), quality: 'uncertain' },
    ]);
    expect(flowBetween(track, 0, { toMs: 20_000, heldMs: 0 })).toEqual({
      total: 2_000_000,
      coveredMs: 20_000,
      doubtfulMs: 20_000,
      count: 1,
    });
  });

  it('leaves a hole of more than 20 s uncovered', () => {
    const track = trackOf([reading('flow', 0, 100), reading('flow', 20_001, 100)]);
    expect(flowBetween(track, 0, { toMs: 20_001, heldMs: 0 }).coveredMs).toBe(0);
  });

  it('leaves what follows a bad reading uncovered until the next good one', () => {
    const track = trackOf([reading('f', 0, 100), badReading('f', 1000), reading('f', 2000, 100)]);
    expect(flowBetween(track, 0, { toMs: 2000, heldMs: 0 }).coveredMs).toBe(0);
  });

  it('holds the last value for the allowed age and no longer', () => {
    const track = trackOf([reading('flow', 0, 100)]);
    expect(flowBetween(track, 0, { toMs: 8000, heldMs: 5000 }).coveredMs).toBe(5000);
  });

  it('adds up: any two neighbouring stretches make the whole (property)', () => {
    const samples = fc.array(
      fc.tuple(fc.integer({ min: 1, max: 30_000 }), fc.integer({ min: 0, max: 20_000 })),
      {
        minLength: 2,
        maxLength: 600,
      },
    );
    fc.assert(
      fc.property(samples, fc.double({ min: 0, max: 1, noNaN: true }), (steps, share) => {
        let timeMs = 0;
        const readings = steps.map(([stepMs, value]) => reading('flow', (timeMs += stepMs), value));
        const track = trackOf(readings);
        const middleMs = timeMs * share;
        const rules = { toMs: timeMs, heldMs: 5000 };
        const whole = flowBetween(track, 0, rules);
        const parts = [
          flowBetween(track, 0, { ...rules, toMs: middleMs }),
          flowBetween(track, middleMs, rules),
        ];
        expect(parts.reduce((sum, { total }) => sum + total, 0)).toBeCloseTo(whole.total, 3);
        expect(parts.reduce((sum, { coveredMs }) => sum + coveredMs, 0)).toBeCloseTo(whole.coveredMs, 6);
      }),
    );
  });
});

describe('withPast', () => {
  it('gives the same track as if the readings had come in time', () => {
    const all = steady('flow', 1000, { fromMs: 0, toMs: 600_000 });
    const live = trackOf(all.slice(300));
    expect(withPast(live, all.slice(0, 300), BRIDGED_MS)).toEqual(trackOf(all));
  });
});

describe('withoutBefore', () => {
  it('forgets whole blocks only, so that what is asked for stays', () => {
    const track = trackOf(steady('flow', 1000, { fromMs: 0, toMs: 1_000_000 }));
    const kept = withoutBefore(track, 600_000);
    const window = { toMs: 700_000, heldMs: 0 };
    expect(flowBetween(kept, 600_000, window)).toEqual(flowBetween(track, 600_000, window));
    expect(kept.blocks.length).toBeLessThan(track.blocks.length);
  });

  it('leaves earlier states as they were', () => {
    const before = trackOf(steady('flow', 1000, { fromMs: 0, toMs: 300_000 }));
    const copy = structuredClone(before);
    withReading(before, reading('flow', 301_000, 5), BRIDGED_MS);
    expect(before).toEqual(copy);
  });
});
