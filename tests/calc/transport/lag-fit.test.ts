import { describe, expect, it } from 'vitest';
import { lagFit } from '#server/calc/transport/lag-fit.ts';
import { throughVessels } from '#server/calc/transport/through-vessels.ts';
import { randomStream } from '#simulator/physics/random.ts';
import { SEED } from '#tests/support/seed.ts';

const INTERVAL_S = 5;
const TWO_HOURS = 1440;

/** A feed of 13,000 kg/h that goes to other levels every twenty minutes, with some scatter. */
function feed(seed = SEED): Float64Array {
  const random = randomStream(seed, 'lag fit');
  const level = [1, 0.85, 1.05, 0.9, 1.15, 1];
  return Float64Array.from({ length: TWO_HOURS }, (_, index) => {
    return 13_000 * (level[Math.floor(index / 240)] ?? 1) * (1 + 0.01 * random.normal());
  });
}

function later(flow: Float64Array, intervals: number, share: number): number[] {
  return Array.from(flow, (_, index) => share * (flow[Math.max(0, index - intervals)] ?? 0));
}

const question = (stream: readonly number[], from = feed()) => ({
  feed: Array.from(from),
  stream,
  intervalS: INTERVAL_S,
  lagSMax: 600,
});

describe('lagFit', () => {
  it('finds 60 s where a stream shows 30 % of the feed of 60 s ago, by hand', () => {
    const fit = lagFit(question(later(feed(), 12, 0.3)));
    expect(fit?.lagS).toBeCloseTo(60, 6);
    expect(fit?.correlation).toBeCloseTo(1, 9);
    expect(fit?.halfWidthS).toBeLessThan(3);
  });

  it('counts the time in mixed beds in, which lies far behind the peak', () => {
    // 100 s on belts and 90 s of mixing: against the mean of three vessels in series, counted in whole intervals.
    const mixed = throughVessels(feed(), { mixingS: 90, intervalS: INTERVAL_S });
    const fit = lagFit(question(later(mixed, 20, 0.9)));
    expect(fit?.lagS).toBeGreaterThan(180);
    expect(fit?.lagS).toBeLessThan(190);
  });

  it('does not care for the share or the unit of the stream (property)', () => {
    const stream = later(feed(), 30, 0.05);
    const plain = lagFit(question(stream));
    const scaled = lagFit(question(stream.map((value) => value * 1000)));
    expect(scaled?.lagS).toBeCloseTo(plain?.lagS ?? NaN, 6);
  });

  it('is as unsure as it must be where scatter hides the changes', () => {
    const random = randomStream(SEED, 'scatter');
    const clear = later(feed(), 30, 0.05);
    const hidden = clear.map((value) => value * (1 + 0.3 * random.normal()));
    const halfWidthS = (stream: readonly number[]) => lagFit(question(stream))?.halfWidthS ?? Infinity;
    expect(halfWidthS(hidden)).toBeGreaterThan(halfWidthS(clear) * 2);
  });

  it('is unknown where the stream falls when the feed rises', () => {
    const against = later(feed(), 20, -0.5).map((value) => value + 10_000);
    const fit = lagFit(question(against));
    expect(fit === null || fit.correlation < 0.3).toBe(true);
  });

  it('is unknown where the stream never moves', () => {
    expect(lagFit(question(new Array<number>(TWO_HOURS).fill(500)))).toBeNull();
  });

  it('is unknown when the lag lies beyond what was looked for', () => {
    expect(lagFit({ ...question(later(feed(), 12, 0.3)), lagSMax: 60 })).toBeNull();
  });

  it('is unknown when the time is short beside the longest lag', () => {
    const short = feed().subarray(0, 239);
    expect(lagFit(question(later(short, 12, 0.3), short))).toBeNull();
  });

  it('refuses flows of different lengths and a longest lag of nothing', () => {
    expect(() => lagFit(question([1, 2, 3]))).toThrow(
      'FIGURE_INPUT lagFit.stream count [1]: got 3, expected 1440, the count of the feed',
    );
    expect(() => lagFit({ ...question(later(feed(), 1, 1)), lagSMax: 0 })).toThrow(
      'FIGURE_INPUT lagFit.lagSMax [s]: got 0, expected > 0',
    );
    expect(() => lagFit({ ...question(later(feed(), 1, 1)), intervalS: -5 })).toThrow(
      'FIGURE_INPUT lagFit.intervalS [s]: got -5, expected > 0',
    );
  });
});
