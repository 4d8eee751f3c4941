import { describe, expect, it } from 'vitest';
import { firstStop } from '#server/alarms/first-stop.ts';

const [DESTONER, SIZER, SCREEN, TABLE] = [0, 1, 2, 3];
const takes = new Map([
  [TABLE, new Set([DESTONER, SIZER, SCREEN])],
  [DESTONER, new Set([SIZER, SCREEN])],
  [SIZER, new Set([SCREEN])],
  [SCREEN, new Set<number>()],
]);
const headsOf = (resolutionMs: number, ...stops: readonly (readonly [number, number])[]) => {
  const found = firstStop(
    stops.map(([slot, timeMs]) => ({ slot, timeMs })),
    { takes, resolutionMs },
  );
  return [found.heads.map(({ slot }) => slot), found.basis];
};

describe('firstStop', () => {
  it('is the destoner at 0 when the sizer follows at 110 and the air screen at 250 ms, by hand', () => {
    expect(headsOf(40, [DESTONER, 0], [SIZER, 110], [SCREEN, 250])).toEqual([[DESTONER], 'times']);
  });

  it('is the destoner too when times cannot tell and the interlocks can', () => {
    expect(headsOf(1000, [SCREEN, 0], [SIZER, 0], [DESTONER, 0])).toEqual([[DESTONER], 'interlocks']);
    expect(headsOf(1000, [SCREEN, 0], [SIZER, 400], [DESTONER, 1000])).toEqual([[DESTONER], 'interlocks']);
  });

  it('is not the destoner when it stopped later than can be mistaken', () => {
    expect(headsOf(40, [SIZER, 0], [SCREEN, 90], [DESTONER, 41])).toEqual([[SIZER], 'times']);
    expect(headsOf(41, [SIZER, 0], [SCREEN, 90], [DESTONER, 41])).toEqual([[DESTONER], 'interlocks']);
  });

  it('leaves several candidates where neither explains the other', () => {
    const unrelated = new Map<number, ReadonlySet<number>>();
    const stops = [
      { slot: 5, timeMs: 30 },
      { slot: 4, timeMs: 0 },
    ];
    expect(firstStop(stops, { takes: unrelated, resolutionMs: 40 }).heads.map(({ slot }) => slot)).toEqual([
      4, 5,
    ]);
    expect(firstStop(stops, { takes: unrelated, resolutionMs: 29 }).heads.map(({ slot }) => slot)).toEqual([
      4,
    ]);
  });

  it('lets times decide where interlocks run in a circle', () => {
    const circle = new Map([
      [4, new Set([5])],
      [5, new Set([4])],
    ]);
    const stops = [
      { slot: 4, timeMs: 10 },
      { slot: 5, timeMs: 0 },
    ];
    expect(firstStop(stops, { takes: circle, resolutionMs: 40 }).heads.map(({ slot }) => slot)).toEqual([
      5, 4,
    ]);
    expect(firstStop(stops, { takes: circle, resolutionMs: 5 }).heads.map(({ slot }) => slot)).toEqual([5]);
  });

  it('refuses to say which of no stops came first', () => {
    expect(() => firstStop([], { takes, resolutionMs: 40 })).toThrow(
      'FIGURE_INPUT firstStop.stops: got 0, expected >= 1',
    );
  });
});
