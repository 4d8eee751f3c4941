import { describe, expect, it } from 'vitest';
import { pathText } from '#client/charts/path-text.ts';
import { timeTicks, zoneOffsetMs } from '#client/charts/time-ticks.ts';
import { doubtfulOf, envelopeAround, gapsOf, lineThrough, spanOf } from '#client/charts/trace-path.ts';
import { valueTicks } from '#client/charts/value-ticks.ts';
import { columnsFromHistory, liveBuckets, type TrendColumns } from '#client/live/trend-columns.ts';
import { fits, stretchFor } from '#client/live/trend-stretch.ts';

const PLACES = { perMs: 1, xAtZero: 0, perUnit: -1, yAtZero: 100 };
const HOUR_MS = 3_600_000;

function columns(mid: readonly (number | null)[], spread = 0): TrendColumns {
  const by = (change: number) => mid.map((value) => (value === null ? null : value + change));
  return { timeMs: mid.map((_, index) => index * 10), mid, min: by(-spread), max: by(spread) };
}

function line(traced: TrendColumns, isStep = false): string {
  const sink = pathText();
  lineThrough(sink, traced, { span: { from: 0, to: traced.timeMs.length - 1 }, places: PLACES, isStep });
  return sink.text();
}

describe('lineThrough', () => {
  it('lifts the pen over a gap, and never draws across it', () => {
    expect(line(columns([1, 2, null, 4, 5]))).toBe('M0.0 99.0L10.0 98.0M30.0 96.0L40.0 95.0');
  });

  it('holds the value of a contact until it changes, and until a gap begins', () => {
    expect(line(columns([1, 2, null]), true)).toBe('M0.0 99.0L10.0 99.0L10.0 98.0L20.0 98.0');
  });

  it('makes a value between two gaps visible', () => {
    expect(line(columns([null, 5, null]))).toBe('M10.0 95.0L13.0 95.0');
    expect(line(columns([null, 5]))).toBe('M10.0 95.0L13.0 95.0');
  });
});

describe('envelopeAround', () => {
  const drawn = (traced: TrendColumns) => {
    const sink = pathText();
    const isSeen = envelopeAround(sink, traced, {
      span: { from: 0, to: traced.timeMs.length - 1 },
      places: PLACES,
    });
    return { isSeen, text: sink.text() };
  };

  it('runs over the highest and back under the lowest values', () => {
    expect(drawn(columns([10, 20], 5)).text).toBe('M0.0 85.0L10.0 75.0L10.0 85.0L0.0 95.0Z');
  });

  it('is not drawn where it would hide behind the line', () => {
    expect(drawn(columns([10, 20], 0.5)).isSeen).toBe(false);
  });

  it('shows a single spike of one bucket in a thousand', () => {
    const calm = columns(Array.from({ length: 1000 }, () => 10));
    const max = calm.max.map((value, index) => (index === 500 ? 90 : value));
    expect(drawn({ ...calm, max }).text).toContain('L5000.0 10.0');
  });
});

describe('spanOf', () => {
  it('takes one bucket more to each side, so that the line runs to the edges', () => {
    expect(spanOf(columns([1, 1, 1, 1, 1, 1]), { fromMs: 15, toMs: 35 })).toEqual({ from: 1, to: 4 });
  });

  it('costs the same for a window in a long past: it is found by halving, not by walking', () => {
    const long = columns(Array.from({ length: 100_000 }, () => 1));
    expect(spanOf(long, { fromMs: 500_005, toMs: 500_025 })).toEqual({ from: 50_000, to: 50_003 });
  });
});

describe('gapsOf', () => {
  it('says where nothing is known, to the edges of the window', () => {
    const found = gapsOf(columns([1, null, null, 4, null]), { fromMs: 0, toMs: 60 }, 0);
    expect(found).toEqual([
      { fromMs: 10, toMs: 30 },
      { fromMs: 40, toMs: 60 },
    ]);
  });

  it('leaves out what is too short to be seen', () => {
    expect(gapsOf(columns([1, null, 3]), { fromMs: 0, toMs: 20 }, 11)).toEqual([]);
  });
});

describe('doubtfulOf', () => {
  it('says where the history knew a value but did not trust it', () => {
    const traced = columnsFromHistory({
      ...{ series: 'x', unit: 'kg/h', interpolation: 'linear', timeMs: [0, 10, 20, 30] },
      ...{
        first: [1, 1, 1, 1],
        last: [1, 1, 1, 1],
        min: [1, 1, 1, 1],
        max: [1, 1, 1, 1],
        mean: [1, 1, 1, 1],
      },
      ...{ count: [1, 1, 1, 1], coveredRatio: [1, 1, 1, 1], uncertainRatio: [0, 0.2, 1, 0] },
    });
    expect(doubtfulOf(traced, { fromMs: 0, toMs: 40 })).toEqual([{ fromMs: 10, toMs: 30 }]);
  });

  it('says it of live values too, and that a value that is held is no better for it', () => {
    const buckets = liveBuckets(10);
    buckets.take(5, 1);
    buckets.take(15, 1, true);
    buckets.holdUntil(35, 1);
    expect(buckets.columns().doubt).toEqual([false, true, true, true]);
  });

  it('carries nothing for traces without a doubt', () => {
    const buckets = liveBuckets(10);
    buckets.take(5, 1);
    expect(buckets.columns().doubt).toBeUndefined();
  });
});

describe('timeTicks', () => {
  const chicago = zoneOffsetMs('America/Chicago');

  it('stands on whole hours of the plant, not of Greenwich', () => {
    const kolkata = zoneOffsetMs('Asia/Kolkata');
    const fromMs = Date.UTC(2026, 0, 1);
    const { timeMs } = timeTicks({ fromMs, toMs: fromMs + 3 * HOUR_MS }, HOUR_MS, kolkata);
    expect(timeMs.map((at) => (at - fromMs) / HOUR_MS)).toEqual([0.5, 1.5, 2.5]);
  });

  it('keeps whole hours of the wall on both sides of the night when clocks go back', () => {
    // In Chicago 1 November 2026 has 25 hours: 2:00 comes an hour late. Source: the zone data of the runtime (IANA).
    const midnight = Date.UTC(2026, 10, 1, 5);
    const { timeMs } = timeTicks({ fromMs: midnight, toMs: midnight + 25 * HOUR_MS }, 6 * HOUR_MS, chicago);
    expect(timeMs.map((at) => (at - midnight) / HOUR_MS)).toEqual([0, 7, 13, 19, 25]);
  });

  it('begins days at the midnight of the plant', () => {
    const noon = Date.UTC(2026, 5, 1, 17);
    const { timeMs, stepMs } = timeTicks({ fromMs: noon, toMs: noon + 48 * HOUR_MS }, 20 * HOUR_MS, chicago);
    expect(stepMs).toBe(24 * HOUR_MS);
    expect(timeMs.map((at) => (at - noon) / HOUR_MS)).toEqual([12, 36]);
  });

  it.each([10_000, 60_000, HOUR_MS, 240 * HOUR_MS, 9600 * HOUR_MS])('stays readable over %d ms', (spanMs) => {
    const fromMs = Date.UTC(2026, 2, 7, 3, 17);
    const { timeMs } = timeTicks({ fromMs, toMs: fromMs + spanMs }, spanMs / 12, chicago);
    expect(timeMs.length).toBeGreaterThanOrEqual(2);
    expect(timeMs.length).toBeLessThanOrEqual(13);
  });
});

describe('valueTicks', () => {
  it('takes round values between the ends', () => {
    expect(valueTicks(459, 503)).toEqual({ values: [460, 480, 500], step: 20 });
  });
});

describe('stretchFor', () => {
  const past = { kind: 'past', fromMs: 1000, toMs: 2000 } as const;

  it('asks for more than is seen, as finely as it is seen', () => {
    expect(stretchFor(past, 100, 10_000)).toEqual({ fromMs: 700, toMs: 2300, buckets: 160 });
  });

  it('does not ask for what has not happened yet', () => {
    expect(stretchFor(past, 100, 2100).toMs).toBe(2100);
    expect(stretchFor({ kind: 'live', spanMs: 1000 }, 100, 5000)).toEqual({
      fromMs: 3700,
      toMs: 5000,
      buckets: 130,
    });
  });
});

describe('fits', () => {
  const sight = { buckets: 100, nowMs: 10_000 };
  const known = { fromMs: 700, toMs: 2300, buckets: 160 };
  const past = (fromMs: number, toMs: number) => ({ kind: 'past', fromMs, toMs }) as const;

  it('holds while the window stays within what was fetched', () => {
    expect(fits(known, past(1000, 2000), sight)).toBe(true);
    expect(fits(known, past(1300, 2300), sight)).toBe(true);
    expect(fits(known, past(1301, 2301), sight)).toBe(false);
  });

  it('asks for finer buckets after zooming in, for coarser ones after zooming out', () => {
    expect(fits(known, past(1400, 1600), sight)).toBe(false);
    expect(fits({ ...known, fromMs: -5000, buckets: 1600 }, past(-4000, 2000), sight)).toBe(false);
  });
});
