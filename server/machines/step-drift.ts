import { cusum, CUSUM_START, type CusumSums } from '../calc/statistics/cusum.ts';
import { ewma, ewmaLimit } from '../calc/statistics/ewma.ts';
import type { Direction } from '../contract/machine-health.ts';
import type { Block } from './step-block.ts';

/**
 * Whether a signal drifts.
 *
 *     quiet --CUSUM beyond its decision and level beyond the smallest--> high | low --level back within half of it--> quiet
 */
export interface DriftState {
  /** Smoothed residual. */
  readonly level: number;
  readonly sums: CusumSums;
  /** When the sum of each side last left zero; null while it is zero. */
  readonly highSinceMs: number | null;
  readonly lowSinceMs: number | null;
  /** Blocks in a row on the same side. */
  readonly run: number;
  readonly drifting: { readonly direction: Direction; readonly sinceMs: number } | null;
}

export const NO_DRIFT: DriftState = {
  level: 0,
  sums: CUSUM_START,
  highSinceMs: null,
  lowSinceMs: null,
  run: 0,
  drifting: null,
};

export interface DriftChart {
  /** Standard deviation of a block while the machine is well. */
  readonly deviation: number;
  /** How much longer than independent ones blocks take to tell as much. */
  readonly widening: number;
  readonly smallest: number;
}

/** Weight of the newest block in the level: half of it is from the last seven hours of running or so. */
const LEVEL_WEIGHT = 0.25;
/** In standard deviations of a block. Blocks lean on each other a little, so both are wider than the textbook's. */
const ALLOWANCE = 0.75;
export const DECISION = 8;
/** How far the level of a machine that is well strays, in deviations of the level; 3 is usual for one chart, here are many. */
const WIDTH = 4;
/** One block alone may be an accident. */
const RUN_MIN = 2;
/** A finding that comes and goes with the weather is none: once made, it stays until half is gone. */
const BACK_SHARE = 0.5;
/** Sums may not grow without end: they would take as long to come back. */
const SUM_MAX = 40;

export function stepDrift(state: DriftState, block: Block, chart: DriftChart): DriftState {
  const level = ewma(state.level, block.value, LEVEL_WEIGHT);
  const step = cusum(state.sums, block.value / chart.deviation, {
    target: 0,
    allowance: ALLOWANCE,
    decision: DECISION,
  });
  const side = Math.sign(block.value);
  const run = side === Math.sign(state.run) ? state.run + side : side;
  const next = {
    level,
    run,
    sums: { high: Math.min(SUM_MAX, step.high), low: Math.min(SUM_MAX, step.low) },
    highSinceMs: step.high === 0 ? null : (state.highSinceMs ?? block.timeMs),
    lowSinceMs: step.low === 0 ? null : (state.lowSinceMs ?? block.timeMs),
  };
  return { ...next, drifting: driftingAfter(state, { ...next, drifting: null }, chart) };
}

function driftingAfter(before: DriftState, now: DriftState, chart: DriftChart): DriftState['drifting'] {
  if (before.drifting === null) return begunDrift(now, chart);
  const sign = before.drifting.direction === 'high' ? 1 : -1;
  return sign * now.level < BACK_SHARE * levelMin(chart) ? null : before.drifting;
}

function begunDrift(now: DriftState, chart: DriftChart): DriftState['drifting'] {
  if (Math.abs(now.run) < RUN_MIN || Math.abs(now.level) < levelMin(chart)) return null;
  const direction = now.level > 0 ? 'high' : 'low';
  if (now.sums[direction] <= DECISION) return null;
  return { direction, sinceMs: (direction === 'high' ? now.highSinceMs : now.lowSinceMs) ?? 0 };
}

/** What the level has to reach: worth finding, and beyond what blocks that lean on each other add up to by themselves. */
export function levelMin({ deviation, widening, smallest }: DriftChart): number {
  const own = ewmaLimit({ weight: LEVEL_WEIGHT, deviation, width: WIDTH }, Infinity) * Math.sqrt(widening);
  return Math.max(smallest, own);
}
