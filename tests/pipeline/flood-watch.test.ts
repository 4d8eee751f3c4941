import { describe, expect, it } from 'vitest';
import { FloodWatch } from '#server/pipeline/flood-watch.ts';
import { aTransition, MINUTE_MS, SHIFT_START_MS } from '#tests/support/record-builders.ts';

const at = (minute: number) => SHIFT_START_MS + minute * MINUTE_MS;
const asked = (...minutes: readonly number[]) => minutes.map((minute) => aTransition({ timeMs: at(minute) }));
const many = (count: number, minute: number) =>
  asked(...Array.from({ length: count }, (_, i) => minute + i / 100));

describe('a flood', () => {
  it('is said when more than ten ask within ten minutes, and not again while nothing changes', () => {
    const watch = new FloodWatch([]);
    watch.take(many(10, 0), at(1));
    expect(watch.takeNews()).toEqual({ sinceMs: null, count: 10 });
    watch.take([], at(2));
    expect(watch.takeNews()).toBeNull();
    watch.take(asked(3), at(3));
    expect(watch.takeNews()).toEqual({ sinceMs: at(3), count: 11 });
  });

  it('is said to be over once fewer than five have asked in ten minutes, and its count falls with time', () => {
    const watch = new FloodWatch([]);
    watch.take(many(12, 0), at(1));
    watch.take(asked(5, 6, 7, 8), at(8));
    expect(watch.takeNews()).toEqual({ sinceMs: at(0.1), count: 16 });
    watch.take([], at(11));
    expect(watch.takeNews()).toEqual({ sinceMs: null, count: 4 });
    watch.take([], at(30));
    expect(watch.takeNews()).toEqual({ sinceMs: null, count: 0 });
  });

  it('goes on over a restart', () => {
    const watch = new FloodWatch(many(15, 0));
    watch.take([], at(5));
    expect(watch.takeNews()).toEqual({ sinceMs: at(0.1), count: 15 });
  });

  it('is not made of what asks nobody', () => {
    const watch = new FloodWatch([]);
    const quiet = Array.from({ length: 30 }, () => aTransition({ to: 'suppressed-by-design' }));
    watch.take(quiet, at(1));
    expect(watch.takeNews()).toEqual({ sinceMs: null, count: 0 });
  });
});
