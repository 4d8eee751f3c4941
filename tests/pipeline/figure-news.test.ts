import { describe, expect, it } from 'vitest';
import type { FigureDescription, FigureMessage } from '#server/contract/figure-message.ts';
import { FigureNews } from '#server/pipeline/figure-news.ts';

const YIELD: FigureDescription = {
  id: 's.line.yield',
  line: 's',
  machine: null,
  stream: null,
  product: null,
  kind: 'yield',
  window: 'now',
  unit: '1',
  resolution: 0.01,
  sources: [],
};

function figure(timeMs: number, value: number, more: Partial<FigureMessage> = {}): FigureMessage {
  return {
    id: YIELD.id,
    timeMs,
    value,
    because: null,
    quality: 'good',
    uncertainty: null,
    coveredRatio: 1,
    band: null,
    ...more,
  };
}

const stopped = (timeMs: number) =>
  figure(timeMs, 0, { value: null, because: 'line-stopped', quality: 'bad' });

/** The times of those that went through. */
function sent(figures: readonly FigureMessage[]): readonly number[] {
  const news = new FigureNews([YIELD]);
  return figures.flatMap((each) => news.toSend([each])).map(({ timeMs }) => timeMs);
}

function kept(figures: readonly FigureMessage[]): readonly number[] {
  const news = new FigureNews([YIELD]);
  return figures.flatMap((each) => news.toKeep([each])).map(({ timeMs }) => timeMs);
}

describe('what is sent of a figure', () => {
  it('is the first value, and then each that differs by its resolution from the last one sent', () => {
    expect(sent([figure(0, 0.5), figure(250, 0.505), figure(500, 0.509), figure(750, 0.52)])).toEqual([
      0, 750,
    ]);
  });

  it('is a slow drift too, because it is compared with what was sent and not with the tick before', () => {
    const drift = Array.from({ length: 9 }, (_, at) => figure(at, 0.5 + at * 0.004));
    expect(sent(drift)).toEqual([0, 3, 6]);
  });

  it('is each change of reason, of quality and of band, at the same value', () => {
    const band = { low: 0.4, high: 0.6, target: null };
    expect(
      sent([
        figure(0, 0.5),
        figure(1, 0.5, { quality: 'uncertain' }),
        figure(2, 0.5, { quality: 'uncertain', band }),
        stopped(3),
        stopped(4),
        figure(5, 0.5),
      ]),
    ).toEqual([0, 1, 2, 3, 5]);
  });
});

describe('what is kept of a figure', () => {
  it('is one value a second while it is known, whether or not it moves', () => {
    const times = [0, 250, 500, 750, 1000, 1250, 2000];
    expect(kept(times.map((timeMs) => figure(timeMs, timeMs)))).toEqual([0, 1000, 2000]);
  });

  it('is the instant at which it becomes unknown or known, and nothing between', () => {
    expect(kept([figure(0, 0.5), stopped(250), stopped(500), stopped(5000), figure(5250, 0.5)])).toEqual([
      0, 250, 5250,
    ]);
  });

  it('is each change of the reason', () => {
    const filling = figure(500, 0, { value: null, because: 'line-filling', quality: 'bad' });
    expect(kept([stopped(0), filling, { ...filling, timeMs: 750 }])).toEqual([0, 500]);
  });
});
