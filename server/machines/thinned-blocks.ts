import { medianOf } from '../calc/statistics/median-of.ts';
import type { Block } from './step-block.ts';

/** Middles of neighbouring blocks, `size` together; what is left over at the end is not told. */
export function thinnedBlocks(blocks: readonly Block[], size: number): readonly Block[] {
  if (size <= 1) return blocks;
  const points: Block[] = [];
  for (let from = 0; from + size <= blocks.length; from += size) {
    const group = blocks.slice(from, from + size);
    points.push({
      timeMs: medianOf(group.map(({ timeMs }) => timeMs)),
      value: medianOf(group.map(({ value }) => value)),
    });
  }
  return points;
}
