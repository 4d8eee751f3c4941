import { MS_PER_HOUR } from '../calc/units.ts';
import type { Reading } from '../contract/reading.ts';
import { emptyTrack, withPoint, type FlowTrack } from './flow-track.ts';

/**
 * What a tank on a scale has lost so far, as running totals, through refills.
 *
 *     drawing --weight > lowest + noise--> filling --no rise for settleMs--> drawing
 *
 * The same states as `calc/dose/tank-loss.ts`, one weight at a time: a lot of eight hours would be too long to go
 * through again each second. A test holds the two equal.
 */
export interface TankTrack {
  readonly losses: FlowTrack;
  readonly state: TankState | null;
}

export interface TankRules {
  /** A rise above the lowest weight by more than this is a refill, not noise. */
  readonly noiseKg: number;
  /** A refill is over when the weight has not risen for this long. */
  readonly settleMs: number;
  /** Two weights further apart than this have a gap between them. */
  readonly maxGapMs: number;
  /** No tank weighs more; such a weight is none. */
  readonly mostKg: number;
}

interface Weight {
  readonly timeMs: number;
  readonly kg: number;
}

interface TankState {
  readonly is: 'drawing' | 'filling';
  /** First weight of this drawing; while filling, the last one before it. */
  readonly start: Weight;
  readonly lowest: Weight;
  readonly highest: Weight;
  readonly last: Weight;
  /** Losses and times of all that came before `start`. */
  readonly lostKg: number;
  readonly coveredMs: number;
  readonly heldMs: number;
  /** Of all drawing so far: what a refill is bridged with. */
  readonly weighedKg: number;
  readonly weighedMs: number;
}

export const EMPTY_TANK: TankTrack = { losses: { ...emptyTrack(false), isTotal: true }, state: null };

/** The track with one more weight; one without a value, or older than the last, is passed over. */
export function withWeight(track: TankTrack, reading: Reading, rules: TankRules): TankTrack {
  const isUsable = reading.quality === 'good' || reading.quality === 'uncertain';
  if (!isUsable || reading.value === null || Math.abs(reading.value) > rules.mostKg) return track;
  const weight = { timeMs: reading.sourceTimeMs, kg: reading.value };
  if (track.state !== null && weight.timeMs <= track.state.last.timeMs) return track;
  const state = nextState(track.state, weight, rules);
  const count = (track.losses.tail.at(-1)?.count ?? 0) + 1;
  return { state, losses: withPoint(track.losses, { ...running(state), count, timeMs: weight.timeMs }) };
}

function nextState(state: TankState | null, weight: Weight, rules: TankRules): TankState {
  if (state === null) return drawingFrom(weight, NOTHING_BEFORE);
  if (weight.timeMs - state.last.timeMs > rules.maxGapMs)
    return drawingFrom(weight, closed(state, state.last));
  return state.is === 'drawing' ? whileDrawing(state, weight, rules) : whileFilling(state, weight, rules);
}

type Before = Pick<TankState, 'lostKg' | 'coveredMs' | 'heldMs' | 'weighedKg' | 'weighedMs'>;
const NOTHING_BEFORE: Before = { lostKg: 0, coveredMs: 0, heldMs: 0, weighedKg: 0, weighedMs: 0 };

function drawingFrom(weight: Weight, before: Before): TankState {
  return { is: 'drawing', start: weight, lowest: weight, highest: weight, last: weight, ...before };
}

function whileDrawing(state: TankState, weight: Weight, rules: TankRules): TankState {
  const { lowest } = state;
  if (weight.kg > lowest.kg + rules.noiseKg) {
    const before = closed(state, lowest);
    return { is: 'filling', start: lowest, lowest, highest: weight, last: weight, ...before };
  }
  return { ...state, lowest: weight.kg <= lowest.kg ? weight : lowest, last: weight };
}

function whileFilling(state: TankState, weight: Weight, rules: TankRules): TankState {
  const highest = weight.kg > state.highest.kg ? weight : state.highest;
  const isOver = weight.timeMs - highest.timeMs >= rules.settleMs;
  if (isOver) return drawingFrom(weight, closed(state, weight));
  return { ...state, highest, last: weight };
}

/** What was lost and held up to the end of the state at hand. */
function closed(state: TankState, end: Weight): Before {
  const { start, lostKg, coveredMs, heldMs, weighedKg, weighedMs } = state;
  const lengthMs = end.timeMs - start.timeMs;
  if (state.is === 'drawing') {
    // Noise alone can leave a tank that nobody draws from a little heavier; that is no negative loss.
    const kg = Math.max(0, start.kg - end.kg);
    return {
      lostKg: lostKg + kg,
      coveredMs: coveredMs + lengthMs,
      heldMs,
      weighedKg: weighedKg + kg,
      weighedMs: weighedMs + lengthMs,
    };
  }
  if (weighedMs === 0) return { lostKg, coveredMs, heldMs, weighedKg, weighedMs };
  return {
    lostKg: lostKg + (weighedKg / weighedMs) * lengthMs,
    coveredMs: coveredMs + lengthMs,
    heldMs: heldMs + lengthMs,
    weighedKg,
    weighedMs,
  };
}

/** A held loss is doubtful: its liquid could not be weighed. */
function running(state: TankState) {
  const { lostKg, coveredMs, heldMs } = closed(state, state.last);
  return {
    rate: state.last.kg,
    isDoubtful: state.is === 'filling',
    total: lostKg * MS_PER_HOUR,
    coveredMs,
    doubtfulMs: heldMs,
  };
}
