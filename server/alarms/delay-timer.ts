/** What an input says of a condition at one instant. */
export type Verdict = 'met' | 'clear' | 'unknown';

export interface Delays {
  readonly onDelayMs: number;
  readonly offDelayMs: number;
}

/**
 * Has a condition held long enough to be believed, or been gone long enough to be forgotten?
 *
 *     off --met for onDelayMs without a break--> on --clear for offDelayMs without a break--> off
 *
 * While the input says nothing the delay's clock stands still: time without knowledge counts neither for
 * the change nor against it, so that a contact with a loose wire neither alarms nor hides an alarm.
 */
export interface DelayTimer {
  readonly isOn: boolean;
  /** When the change that is under way began; null when none is. */
  readonly sinceMs: number | null;
  /** When the change will be complete; Infinity when none is under way or its clock stands still. */
  readonly dueMs: number;
  /** What was left of the delay when its clock stopped. */
  readonly leftMs: number;
}

export const TIMER_OFF: DelayTimer = { isOn: false, sinceMs: null, dueMs: Infinity, leftMs: 0 };
export const TIMER_ON: DelayTimer = { ...TIMER_OFF, isOn: true };

/** The timer after its input spoke. A change whose time is up is not carried out here: see `completed`. */
export function judged(
  timer: DelayTimer,
  said: { verdict: Verdict; timeMs: number },
  delays: Delays,
): DelayTimer {
  if (said.verdict === 'unknown') return stoodStill(timer, said.timeMs);
  const isChanging = (said.verdict === 'met') !== timer.isOn;
  if (!isChanging) return timer.sinceMs === null ? timer : restOf(timer.isOn);
  const delayMs = timer.isOn ? delays.offDelayMs : delays.onDelayMs;
  if (timer.sinceMs === null) return { ...timer, sinceMs: said.timeMs, dueMs: said.timeMs + delayMs };
  if (timer.dueMs !== Infinity) return timer;
  // A contact that says again what it said at the beginning, with the same source time, has not moved since.
  const hasStoodSince = said.timeMs <= timer.sinceMs;
  return { ...timer, dueMs: hasStoodSince ? timer.sinceMs + delayMs : said.timeMs + timer.leftMs };
}

/** The timer after the change that was under way. */
export function completed(timer: DelayTimer): DelayTimer {
  return restOf(!timer.isOn);
}

function stoodStill(timer: DelayTimer, timeMs: number): DelayTimer {
  if (timer.dueMs === Infinity) return timer;
  return { ...timer, dueMs: Infinity, leftMs: Math.max(0, timer.dueMs - timeMs) };
}

function restOf(isOn: boolean): DelayTimer {
  return isOn ? TIMER_ON : TIMER_OFF;
}
