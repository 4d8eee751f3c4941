import { describe, expect, it } from 'vitest';
import { busiestFirst } from '#server/field/history-filling.ts';
import type { Stretch } from '#server/field/missed-stretches.ts';

const stretchOf = (index: number): Stretch => ({
  index,
  fromMs: 0,
  toMs: 1000,
  before: null,
  lostMs: null,
  isHeld: false,
});
const places = (stages: readonly (readonly Stretch[])[]) =>
  stages.map((stage) => stage.map(({ index }) => index));

describe('busiestFirst', () => {
  it('puts the tags that change about as often as the busiest before the others', () => {
    const counts = Uint32Array.of(1, 100, 0, 60, 49);
    expect(places(busiestFirst([0, 1, 2, 3, 4].map(stretchOf), counts))).toEqual([
      [1, 3],
      [4, 0, 2],
    ]);
  });

  it('puts no more than ten of them first', () => {
    const stretches = Array.from({ length: 30 }, (_, index) => stretchOf(index));
    const [first, others] = busiestFirst(stretches, new Uint32Array(30).fill(7));
    expect([first?.length, others?.length]).toEqual([10, 20]);
  });
});
