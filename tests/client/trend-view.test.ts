import { describe, expect, it } from 'vitest';
import {
  backToLive,
  moved,
  picked,
  SPAN_MS_MIN,
  windowOf,
  zoomed,
  type TrendView,
} from '#client/live/trend-view.ts';

const NOW = 1_000_000_000;
const LIVE: TrendView = { kind: 'live', spanMs: 600_000 };
const PAST: TrendView = { kind: 'past', fromMs: NOW - 900_000, toMs: NOW - 300_000 };

describe('zoomed', () => {
  it('keeps the instant under the pointer where it is', () => {
    const view = zoomed(PAST, { factor: 0.5, atShare: 0.25, nowMs: NOW });
    expect(view).toEqual({ kind: 'past', fromMs: NOW - 825_000, toMs: NOW - 525_000 });
  });

  it('stays live when zoomed out, and when zoomed in at its right edge', () => {
    expect(zoomed(LIVE, { factor: 2, atShare: 0.3, nowMs: NOW })).toEqual({
      kind: 'live',
      spanMs: 1_200_000,
    });
    expect(zoomed(LIVE, { factor: 0.5, atShare: 1, nowMs: NOW })).toEqual({ kind: 'live', spanMs: 300_000 });
  });

  it('leaves live when zoomed in on something earlier', () => {
    const view = zoomed(LIVE, { factor: 0.5, atShare: 0.5, nowMs: NOW });
    expect(view).toEqual({ kind: 'past', fromMs: NOW - 450_000, toMs: NOW - 150_000 });
  });

  it('never shows the future', () => {
    const { toMs } = windowOf(zoomed(PAST, { factor: 8, atShare: 0.5, nowMs: NOW }), NOW);
    expect(toMs).toBe(NOW);
  });

  it('stops at ten seconds', () => {
    const { fromMs, toMs } = windowOf(zoomed(PAST, { factor: 1e-9, atShare: 0.5, nowMs: NOW }), NOW);
    expect(toMs - fromMs).toBe(SPAN_MS_MIN);
  });
});

describe('moved', () => {
  it('moves by a share of what is shown', () => {
    expect(moved(PAST, -0.5, NOW)).toEqual({ kind: 'past', fromMs: NOW - 1_200_000, toMs: NOW - 600_000 });
  });

  it('is live again once moved up to now', () => {
    expect(moved(PAST, 0.5, NOW)).toEqual({ kind: 'live', spanMs: 600_000 });
  });
});

describe('picked and backToLive', () => {
  it('shows exactly what was picked', () => {
    expect(picked({ fromMs: 5, toMs: 60_005 })).toEqual({ kind: 'past', fromMs: 5, toMs: 60_005 });
  });

  it('widens a pick that is too short around its middle', () => {
    expect(picked({ fromMs: 10_000, toMs: 12_000 })).toEqual({ kind: 'past', fromMs: 6000, toMs: 16_000 });
  });

  it('goes back to live with the span that was shown', () => {
    expect(backToLive(PAST, NOW)).toEqual({ kind: 'live', spanMs: 600_000 });
  });
});
