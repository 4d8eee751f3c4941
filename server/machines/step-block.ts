import { medianOf } from '../calc/statistics/median-of.ts';

/** The middle residual of a fixed amount of running: few enough, and far enough apart, to count one by one. */
export interface Block {
  readonly timeMs: number;
  readonly value: number;
}

export interface BlockState {
  readonly timeMs: number;
  readonly values: readonly number[];
}

export const NO_BLOCK_YET: BlockState = { timeMs: -Infinity, values: [] };

/** Two hours of running at a point every ten minutes. */
const POINTS_PER_BLOCK = 12;
/** What was begun longer ago than this is not finished any more. */
const BROKEN_OFF_MS = 2 * 86_400_000;

/** Takes in one residual; every twelfth gives a block. */
export function stepBlock(state: BlockState, residual: Block): readonly [BlockState, Block | null] {
  const isBrokenOff = residual.timeMs - state.timeMs > BROKEN_OFF_MS;
  const values = isBrokenOff ? [residual.value] : [...state.values, residual.value];
  if (values.length < POINTS_PER_BLOCK) return [{ timeMs: residual.timeMs, values }, null];
  return [NO_BLOCK_YET, { timeMs: residual.timeMs, value: medianOf(values) }];
}

/** All blocks of residuals in order of time. */
export function blocksOf(residuals: readonly Block[]): readonly Block[] {
  const blocks: Block[] = [];
  let state = NO_BLOCK_YET;
  for (const residual of residuals) {
    const [next, block] = stepBlock(state, residual);
    state = next;
    if (block !== null) blocks.push(block);
  }
  return blocks;
}
