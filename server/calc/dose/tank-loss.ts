import type { Sample } from '../covered-integral.ts';
import { expectInTimeOrder } from '../expect-in-time-order.ts';
import { expectPositive } from '../expect-positive.ts';
import { kilograms, milliseconds, type Kilograms, type Milliseconds } from '../units.ts';

export interface TankRules {
  /** A rise above the lowest weight by more than this is a refill, not noise. */
  readonly noise: Kilograms;
  /** A refill is over when the weight has not risen for this long. */
  readonly settleMs: number;
  /** Two weights further apart than this have a gap between them. */
  readonly maxGapMs: number;
}

export interface TankLoss {
  /** What the tank was seen to lose. */
  readonly lost: Kilograms;
  readonly weighedMs: Milliseconds;
  /** What it will have lost while it was refilled, at the mean rate before that. */
  readonly held: Kilograms;
  readonly heldMs: Milliseconds;
  readonly refills: number;
}

interface Weight {
  readonly timeMs: number;
  readonly kg: number;
}

/** A stretch of time over which the tank was drawn from (`kg` is what it lost) or refilled (`kg` is null). */
interface Stretch {
  readonly lengthMs: number;
  readonly kg: number | null;
}

type State =
  | { readonly is: 'drawing'; readonly start: Weight; readonly lowest: Weight; readonly last: Weight }
  | { readonly is: 'filling'; readonly start: Weight; readonly highest: Weight; readonly last: Weight };

interface Step {
  readonly state: State;
  readonly closed: readonly Stretch[];
}

/**
 * How much liquid left a tank that stands on a scale, through refills.
 *
 *     drawing --weight > lowest + noise--> filling --no rise for settleMs--> drawing
 *     lost = sum over drawing of (first - last weight);  held = refilling time * lost before / time before
 *
 * Shape    weights in time order in (those without a value are passed over); what was lost and what was held out.
 * Units    kg, ms -> kg, ms
 * Unknown  none: gaps, and refills with nothing drawn before them, are missing in weighedMs and heldMs.
 * Throws   RangeError when weights are out of time order, or a rule is not positive.
 * Source   loss-in-weight feeding, common practice, no source; the refill is bridged because its liquid cannot be weighed.
 *
 * @example 100 kg falls to 98 kg in 120 s, is refilled to 150 kg by 180 s, still 149 kg at 210 s: 2 kg lost, 1.5 kg held
 */
export function tankLoss(weights: readonly Sample<Kilograms>[], rules: TankRules): TankLoss {
  expectInTimeOrder('tankLoss.weights', weights);
  expectPositive('tankLoss.noise [kg]', rules.noise);
  expectPositive('tankLoss.settleMs [ms]', rules.settleMs);
  expectPositive('tankLoss.maxGapMs [ms]', rules.maxGapMs);

  let state: State | null = null;
  const stretches: Stretch[] = [];
  for (const { timeMs, value } of weights) {
    if (value === null) continue;
    const step: Step = next(state, { timeMs, kg: value }, rules);
    state = step.state;
    stretches.push(...step.closed);
  }
  if (state !== null) stretches.push(stretchTo(state.last, state));
  return totals(stretches);
}

function next(state: State | null, weight: Weight, rules: TankRules): Step {
  if (state === null) return { state: drawingFrom(weight), closed: [] };
  const isGap = weight.timeMs - state.last.timeMs > rules.maxGapMs;
  if (isGap) return { state: drawingFrom(weight), closed: [stretchTo(state.last, state)] };
  return state.is === 'drawing' ? whileDrawing(state, weight, rules) : whileFilling(state, weight, rules);
}

function whileDrawing(state: State & { is: 'drawing' }, weight: Weight, rules: TankRules): Step {
  const { start, lowest } = state;
  if (weight.kg > lowest.kg + rules.noise) {
    const filling: State = { is: 'filling', start: lowest, highest: weight, last: weight };
    return { state: filling, closed: [stretchTo(lowest, state)] };
  }
  const nowLowest = weight.kg <= lowest.kg ? weight : lowest;
  return { state: { is: 'drawing', start, lowest: nowLowest, last: weight }, closed: [] };
}

function whileFilling(state: State & { is: 'filling' }, weight: Weight, rules: TankRules): Step {
  const highest = weight.kg > state.highest.kg ? weight : state.highest;
  const isOver = weight.timeMs - highest.timeMs >= rules.settleMs;
  if (isOver) return { state: drawingFrom(weight), closed: [stretchTo(weight, state)] };
  return { state: { ...state, highest, last: weight }, closed: [] };
}

function drawingFrom(weight: Weight): State {
  return { is: 'drawing', start: weight, lowest: weight, last: weight };
}

function stretchTo(end: Weight, { is, start }: State): Stretch {
  const lengthMs = end.timeMs - start.timeMs;
  // Noise alone can leave a tank that nobody draws from a little heavier; that is no negative loss.
  return { lengthMs, kg: is === 'drawing' ? Math.max(0, start.kg - end.kg) : null };
}

function totals(stretches: readonly Stretch[]): TankLoss {
  let lost = 0;
  let weighedMs = 0;
  let held = 0;
  let heldMs = 0;
  for (const { lengthMs, kg } of stretches) {
    if (kg !== null) {
      lost += kg;
      weighedMs += lengthMs;
    } else if (weighedMs > 0) {
      held += (lost / weighedMs) * lengthMs;
      heldMs += lengthMs;
    }
  }
  return {
    lost: kilograms(lost),
    weighedMs: milliseconds(weighedMs),
    held: kilograms(held),
    heldMs: milliseconds(heldMs),
    refills: stretches.filter(({ kg }) => kg === null).length,
  };
}
