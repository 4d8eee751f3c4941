import { medianOf } from '../calc/statistics/median-of.ts';
import type { Block } from './step-block.ts';
import { thinnedBlocks } from './thinned-blocks.ts';

export type Course = 'step' | 'creep' | 'unsettled';

const BLOCKS_MIN = 6;
/** Every beginning is tried with every block. */
const BLOCKS_MAX = 48;
/** One picture has to fit clearly better than the other. */
const CLEARLY = 0.75;

/**
 * Whether a deviation came all at once or little by little, from the blocks since a while before its onset.
 *
 *     step: best of  0 before an instant, one level after it;   creep: best of  0 before it, a straight rise after it
 *     the one whose summed distance is clearly smaller; `unsettled` while neither is
 */
export function courseOf(all: readonly Block[], sinceMs: number): Course {
  const blocks = thinnedBlocks(all, Math.ceil(all.length / BLOCKS_MAX));
  const after = blocks.filter(({ timeMs }) => timeMs >= sinceMs).length;
  if (after < BLOCKS_MIN) return 'unsettled';
  let [step, creep] = [Infinity, Infinity];
  for (let from = 0; from <= blocks.length - BLOCKS_MIN; from += 1) {
    step = Math.min(step, distance(blocks, from, stepFrom));
    creep = Math.min(creep, distance(blocks, from, creepFrom));
  }
  if (step < CLEARLY * creep) return 'step';
  return creep < CLEARLY * step ? 'creep' : 'unsettled';
}

type Picture = (after: readonly Block[]) => (timeMs: number) => number;

function distance(blocks: readonly Block[], from: number, picture: Picture): number {
  const value = picture(blocks.slice(from));
  return blocks.reduce(
    (sum, block, index) => sum + Math.abs(block.value - (index < from ? 0 : value(block.timeMs))),
    0,
  );
}

const stepFrom: Picture = (after) => {
  const level = medianOf(after.map(({ value }) => value));
  return () => level;
};

const creepFrom: Picture = (after) => {
  const startMs = after[0]?.timeMs ?? 0;
  const slopes = after.slice(1).map(({ timeMs, value }) => value / Math.max(1, timeMs - startMs));
  const slope = medianOf(slopes);
  return (timeMs) => slope * (timeMs - startMs);
};
