import { medianOf } from '../calc/statistics/median-of.ts';
import type { DueTime } from '../contract/machine-health.ts';
import { MS_PER_DAY } from './signal-plan.ts';
import type { Block } from './step-block.ts';
import { thinnedBlocks } from './thinned-blocks.ts';

export interface DueQuestion {
  /** From the onset that was noticed to now, in order of time: what was before it says nothing of how it grows. */
  readonly blocks: readonly Block[];
  readonly sinceMs: number;
  /** Where it has to be repaired, with the sign of the deviation. */
  readonly limit: number;
  /** Standard deviation of a block, and how much longer than independent ones blocks take to tell as much. */
  readonly deviation: number;
  readonly widening: number;
}

/** Courses that wear takes: slowing, straight, and ever faster. */
const BENDS: readonly number[] = [0.6, 0.8, 1, 1.2, 1.4, 1.6, 1.8, 2, 2.25, 2.5, 3, 3.5, 4];
const ONSETS = 24;
/** The true onset lies before the one that was noticed: up to this many times as long ago. */
const EARLIER = 2.5;
const EARLIER_MS_MIN = 2 * MS_PER_DAY;
/** Middles of five equal parts of a normal distribution. */
const FIFTHS: readonly number[] = [-1.2816, -0.5244, 0, 0.5244, 1.2816];
const TAIL = 0.05;
const BLOCKS_MAX = 48;
/** The share granted to the curve, tuned to a coverage of nine in ten on lives that no measurement reports. */
const CURVE_ERROR = 0.02;
const CURVE_PIECES = 6;
const REACHED_BLOCKS = 4;
/** Variance of a mean over that of a median, normal values, many of them: 2 / pi. */
const MEDIAN_EFFICIENCY = 0.637;
/** Beyond this nobody plans. */
const FAR_MS = 365 * MS_PER_DAY;

/**
 * When a deviation that grows as it has grown so far reaches its limit.
 *
 *     residual = size * (time - onset)^bend;   every onset and bend weighs exp(-misfit / 2), misfit in block deviations
 *     due = onset + (limit / size)^(1 / bend);   range = middle 90 % of the weight
 *
 * Shape    blocks and a limit in, three instants out; the latest is null when part of what is plausible never comes there.
 * Units    residual's own -> ms
 * Unknown  null when nothing that fits reaches the limit within a year.
 * Throws   never
 * Source   weighting of competing growth curves by their likelihood; curves of power form, as wear commonly is.
 *
 * @example a residual that rose by 0.01 a day for ten days, limit 0.2: due about ten days from now
 */
export function dueTime(asked: DueQuestion): DueTime | null {
  const nowMs = asked.blocks.at(-1)?.timeMs ?? asked.sinceMs;
  const question = thinned(asked);
  const curves = onsetsOf(question, nowMs).flatMap((onsetMs) =>
    BENDS.map((bend) => curveOf(question, onsetMs, bend)),
  );
  const best = Math.min(...curves.map(({ misfit }) => misfit));
  const ends = curves.flatMap((curve) => endsOf(curve, { question, nowMs, best }));
  ends.sort((a, b) => a.dueMs - b.dueMs);
  const all = ends.reduce((sum, { weight }) => sum + weight, 0);
  const at = (share: number) => atShare(ends, share * all);
  const [earliestMs, middleMs, latestMs] = [at(TAIL), at(0.5), at(1 - TAIL)];
  const isFar = !(middleMs < nowMs + FAR_MS);
  if (all === 0 || isFar) return null;
  return { earliestMs, middleMs, latestMs: latestMs < nowMs + FAR_MS ? latestMs : null };
}

/** Few points that each tell more. A middle of n tells as much as about two thirds of n values do. */
function thinned(asked: DueQuestion): DueQuestion {
  const size = Math.ceil(asked.blocks.length / BLOCKS_MAX);
  if (size === 1) return asked;
  const deviation = asked.deviation / Math.sqrt(size * MEDIAN_EFFICIENCY);
  return { ...asked, blocks: thinnedBlocks(asked.blocks, size), deviation };
}

function onsetsOf({ sinceMs }: DueQuestion, nowMs: number): readonly number[] {
  const back = Math.max(EARLIER_MS_MIN, EARLIER * (nowMs - sinceMs));
  const fromMs = nowMs - back;
  const toMs = sinceMs + (nowMs - sinceMs) / 3;
  return Array.from({ length: ONSETS }, (_, i) => fromMs + ((toMs - fromMs) * i) / (ONSETS - 1));
}

interface Curve {
  readonly onsetMs: number;
  readonly bend: number;
  readonly size: number;
  readonly sizeError: number;
  readonly misfit: number;
}

/** The size that fits best for one onset and bend, and how badly the whole then fits. Days keep the powers small. */
function curveOf({ blocks, deviation, widening }: DueQuestion, onsetMs: number, bend: number): Curve {
  let [products, squares, values] = [0, 0, 0];
  for (const { timeMs, value } of blocks) {
    const grown = Math.max(0, (timeMs - onsetMs) / MS_PER_DAY) ** bend;
    products += grown * value;
    squares += grown * grown;
    values += value * value;
  }
  const size = squares === 0 ? 0 : products / squares;
  const unit = unitOf({ blocks, deviation, widening });
  return {
    onsetMs,
    bend,
    size,
    sizeError: squares === 0 ? 0 : Math.sqrt(unit / squares),
    misfit: (values - size * products) / unit,
  };
}

/**
 * What a squared distance is counted in. To the scatter of the blocks comes that no wear follows a power law to the
 * percent: a share of what has been reached is granted to the curve, a few times over the course and not in each block.
 */
function unitOf({
  blocks,
  deviation,
  widening,
}: Pick<DueQuestion, 'blocks' | 'deviation' | 'widening'>): number {
  const reached = Math.abs(medianOf(blocks.slice(-REACHED_BLOCKS).map(({ value }) => value)));
  const pieces = Math.max(1, blocks.length / CURVE_PIECES);
  return deviation * deviation * widening + (CURVE_ERROR * reached) ** 2 * pieces;
}

interface End {
  readonly dueMs: number;
  readonly weight: number;
}

function endsOf(
  curve: Curve,
  at: { readonly question: DueQuestion; readonly nowMs: number; readonly best: number },
): readonly End[] {
  const weight = Math.exp(-(curve.misfit - at.best) / 2) / FIFTHS.length;
  if (weight < 1e-7) return [];
  return FIFTHS.map((z) => {
    const size = curve.size + z * curve.sizeError;
    const share = at.question.limit / size;
    const days = share > 0 && Number.isFinite(share) ? share ** (1 / curve.bend) : Infinity;
    // It has not been reached yet, or there would be nothing left to ask.
    return { dueMs: Math.max(at.nowMs, curve.onsetMs + days * MS_PER_DAY), weight };
  });
}

function atShare(ends: readonly End[], wanted: number): number {
  let sum = 0;
  for (const { dueMs, weight } of ends) {
    sum += weight;
    if (sum >= wanted) return dueMs;
  }
  return ends.at(-1)?.dueMs ?? Infinity;
}
