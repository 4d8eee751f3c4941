import { NO_BLOCK_YET, stepBlock, type Block, type BlockState } from './step-block.ts';
import { NO_DRIFT, stepDrift, type DriftChart, type DriftState } from './step-drift.ts';

/** How one residual has gone on: the block that is filling, the blocks so far, and whether they drift. */
export interface SignalState {
  readonly filling: BlockState;
  readonly blocks: readonly Block[];
  readonly drift: DriftState;
}

export const NEW_SIGNAL: SignalState = { filling: NO_BLOCK_YET, blocks: [], drift: NO_DRIFT };

/** About ten weeks of two shifts a day. */
const BLOCKS_MAX = 500;

/** Takes in one residual; the second is whether it completed a block. */
export function stepSignal(
  state: SignalState,
  residual: Block,
  chart: DriftChart,
): readonly [SignalState, boolean] {
  const [filling, block] = stepBlock(state.filling, residual);
  if (block === null) return [{ ...state, filling }, false];
  const blocks = [...state.blocks.slice(-(BLOCKS_MAX - 1)), block];
  return [{ filling, blocks, drift: stepDrift(state.drift, block, chart) }, true];
}
