import type { AlarmTerm, Premise } from '../contract/alarm-rule.ts';
import { judged, TIMER_OFF, type Delays, type DelayTimer, type Verdict } from './delay-timer.ts';
import type { Sample } from './sample.ts';

/** True, false, or null while its subject has said nothing yet. */
export type Truth = boolean | null;

export interface PremisePlan {
  readonly terms: readonly AlarmTerm[];
  readonly delays: Delays;
}

/** Whether a premise is believed, and what each of its terms said last. */
export interface PremiseState {
  readonly truths: readonly Truth[];
  readonly timer: DelayTimer;
}

export function premisePlan(premise: Premise): PremisePlan {
  return {
    terms: premise.all,
    delays: { onDelayMs: premise.afterMs ?? 0, offDelayMs: premise.lastsMs ?? 0 },
  };
}

export function premiseAtStart(plan: PremisePlan): PremiseState {
  return { truths: plan.terms.map(() => null), timer: TIMER_OFF };
}

/** The premise after the subject of one of its terms spoke. */
export function premiseAfter(
  plan: PremisePlan,
  state: PremiseState,
  said: { readonly term: number; readonly sample: Sample },
): PremiseState {
  const truths = truthsAfter(plan.terms, state.truths, said);
  const verdict = verdictOfAll(truths);
  const timer = judged(state.timer, { verdict, timeMs: said.sample.timeMs }, plan.delays);
  return truths === state.truths && timer === state.timer ? state : { truths, timer };
}

/** A term whose subject says nothing is unknown again: it must not go on counting as it was. */
export function truthsAfter(
  terms: readonly AlarmTerm[],
  truths: readonly Truth[],
  said: { readonly term: number; readonly sample: Sample },
): readonly Truth[] {
  const term = terms[said.term];
  if (term === undefined) return truths;
  const truth = truthOf(term, said.sample);
  return truth === truths[said.term] ? truths : truths.with(said.term, truth);
}

/** All together: one false term settles it, even while another is unknown. */
export function verdictOfAll(truths: readonly Truth[]): Verdict {
  if (truths.includes(false)) return 'clear';
  return truths.includes(null) ? 'unknown' : 'met';
}

/** A contact is a number too; anything from a half up is on. */
export function isContactOn(value: number): boolean {
  return value >= 0.5;
}

function truthOf(term: AlarmTerm, { value }: Sample): Truth {
  if (value === null) return null;
  if ('above' in term) return value > term.above;
  if ('below' in term) return value < term.below;
  return isContactOn(value) === (term.is === 'on');
}
