import { annunciationsIn } from '../alarms/annunciations.ts';
import { NO_FLOOD, stepFlood, type FloodState } from '../alarms/flood.ts';
import type { FloodStatus } from '../contract/alarm-measures.ts';
import type { AlarmTransition } from '../contract/alarm-message.ts';

/** Two windows: a flood that began before the last one may still be kept up by it. */
export const FLOOD_LOOKBACK_MS = 1_200_000;

/** Follows whether more alarms come than a person can answer, and says so when it changes. */
export class FloodWatch {
  #state: FloodState = NO_FLOOD;
  #isTold = false;

  /** @param journal What was journalled before the start, so that a restart in a flood does not end it. */
  constructor(journal: readonly AlarmTransition[]) {
    const last = journal.reduce((latest, { timeMs }) => Math.max(latest, timeMs), 0);
    this.take(journal, last);
  }

  take(transitions: readonly AlarmTransition[], nowMs: number): void {
    const annunciatedMs = annunciationsIn(transitions)
      .map(({ timeMs }) => timeMs)
      .sort((a, b) => a - b);
    const before = this.#status();
    this.#state = withoutOld(stepFlood(this.#state, { annunciatedMs, nowMs }).state, nowMs);
    const after = this.#status();
    this.#isTold &&= before.sinceMs === after.sinceMs && before.count === after.count;
  }

  /** How it stands, where that changed since it was last taken; null where it did not. */
  takeNews(): FloodStatus | null {
    if (this.#isTold) return null;
    this.#isTold = true;
    return this.#status();
  }

  #status(): FloodStatus {
    return { sinceMs: this.#state.sinceMs, count: this.#state.recentMs.length };
  }
}

const WINDOW_MS = 600_000;

/** The count that is shown is of the last window, also while nothing comes. */
function withoutOld(state: FloodState, nowMs: number): FloodState {
  const oldest = state.recentMs[0];
  if (oldest === undefined || oldest >= nowMs - WINDOW_MS) return state;
  return { ...state, recentMs: state.recentMs.filter((timeMs) => timeMs >= nowMs - WINDOW_MS) };
}
