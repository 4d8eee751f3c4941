import { describe, expect, it } from 'vitest';
import { exactEstimate, uncertaintyOf, unknownEstimate, type Estimate } from '#server/line/estimate.ts';
import { mixedRate } from '#server/line/mixed-rate.ts';
import type { Span } from '#server/line/window-spans.ts';

const MINUTE_MS = 60_000;
const span: Span = { known: true, fromMs: 20 * MINUTE_MS, toMs: 30 * MINUTE_MS, anchor: null };

/** Mean of a rate that went from 0 to 10,000 at an instant. */
function steppedAt(stepMs: number): (span: Span) => Estimate {
  return ({ fromMs, toMs }) =>
    exactEstimate((10_000 * Math.max(0, toMs - Math.max(fromMs, stepMs))) / (toMs - fromMs));
}

function valueOver(spreadMs: number, rateOver: (span: Span) => Estimate, over = span): number | null {
  const rate = mixedRate(over, spreadMs, rateOver);
  return rate.known ? rate.value : null;
}

describe('mixedRate', () => {
  it('is the plain mean where nothing mixes, and of a steady rate', () => {
    expect(valueOver(0, steppedAt(25 * MINUTE_MS))).toBe(5000);
    expect(valueOver(MINUTE_MS, () => exactEstimate(7000))).toBeCloseTo(7000, 9);
  });

  it('keeps the mean lag: a long window over a step is hardly changed', () => {
    expect(valueOver(34_000, steppedAt(25 * MINUTE_MS))).toBeCloseTo(5000, -1);
  });

  it('shows of a step only what has come through by then', () => {
    const instant = { ...span, fromMs: 30 * MINUTE_MS - 1000 };
    const seen = (afterMs: number) => valueOver(30_000, steppedAt(30 * MINUTE_MS - afterMs), instant) ?? NaN;
    // Distribution function of a gamma of shape 3 at its mean and one deviation (1.732 of 3) to each side: 57.7, 13.5
    // and 84.6 %, from memory.
    expect(seen(0) / 10_000).toBeCloseTo(0.577, 1);
    expect(seen(-30_000) / 10_000).toBeCloseTo(0.135, 1);
    expect(seen(30_000) / 10_000).toBeCloseTo(0.846, 1);
  });

  it('falls back on the mean lag where what lies further back was not read', () => {
    const since = (startMs: number) => (asked: Span) =>
      asked.fromMs < startMs ? unknownEstimate('window-uncovered') : exactEstimate(5000);
    expect(mixedRate(span, 30_000, since(20 * MINUTE_MS))).toEqual(exactEstimate(5000));
  });

  it('is unknown for the reason of the plain rate', () => {
    expect(mixedRate(span, 30_000, () => unknownEstimate('tag-bad'))).toEqual(unknownEstimate('tag-bad'));
  });

  it('takes the scatter of parts that lie side by side as independent: five of 10 make 4.47, by hand', () => {
    const instant = { ...span, fromMs: span.toMs - 1000 };
    const rate = mixedRate(instant, 30_000, () => ({
      ...exactEstimate(5000),
      causes: [{ cause: 'scatter scale', half: 10 }],
    }));
    expect(rate.known ? uncertaintyOf(rate) : null).toBeCloseTo(10 / Math.sqrt(5), 9);
  });

  it('keeps what makes each part uncertain, as one cause', () => {
    const rate = mixedRate(span, 30_000, () => ({
      ...exactEstimate(5000),
      causes: [{ cause: 'scale', half: 12 }],
    }));
    expect(rate).toMatchObject({ causes: [{ cause: 'scale' }] });
    expect(rate.known ? rate.causes?.[0]?.half : null).toBeCloseTo(12, 9);
  });
});
