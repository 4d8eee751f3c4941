import type { AlarmSetup } from '../alarms/alarm-setup.ts';
import type { AlarmState } from '../alarms/alarm-state.ts';
import { playTick, type ReplayRun } from '../alarms/replayed-alarms.ts';
import { withResumedDelays } from '../alarms/resumed-delays.ts';
import type { AlarmRule } from '../contract/alarm-rule.ts';
import type { Band } from '../contract/figure-message.ts';
import type { SampleStore } from '../ports/sample-store.ts';
import { recordedEvents, recordedSubjects } from './recorded-events.ts';
import { TickMaker } from './recorded-ticks.ts';
import { delaysMs } from './replay-scope.ts';

interface ResumingParts {
  readonly samples: SampleStore;
  readonly setup: AlarmSetup;
  readonly tickMs: number;
  readonly bandOf: (figure: string) => Band | null;
}

/** After a longer stand the plant may be in another state altogether: delays begin anew. */
const STOOD_MS_MAX = 60_000;
/** What a kill may have left unjudged, and a little more. */
const LOOK_BACK_MS_MIN = 10_000;
const LOOK_BACK_MS_MAX = 600_000;

/** The alarms as they were journalled, with the delays that were running, from the last readings in the history. */
export async function resumedAlarms(
  parts: ResumingParts,
  restored: AlarmState,
  nowMs: number,
): Promise<AlarmState> {
  const { samples, setup, tickMs, bandOf } = parts;
  const subjects = await recordedSubjects(samples, setup.subjects);
  const newest = await samples.valuesAt(
    subjects.map(({ series }) => series),
    nowMs,
  );
  const stoppedMs = Math.max(...newest.map(({ timeMs }) => timeMs));
  if (!(nowMs - stoppedMs <= STOOD_MS_MAX)) return restored;
  const fromMs = stoppedMs - lookBackMs(setup.plans.map(({ rule }) => rule));
  const range = { subjects, fromMs, toMs: stoppedMs + 1, windowMs: LOOK_BACK_MS_MAX + tickMs };
  const maker = new TickMaker({ tickMs, bandOf, restarts: [] });
  const run: ReplayRun = { setup, transitions: [], state: { ...restored, orphans: [] }, playedMs: null };
  for await (const events of recordedEvents(samples, range, new AbortController().signal)) {
    for (const tick of maker.ticksOf(events)) playTick(run, tick);
  }
  return withResumedDelays(setup, { restored, shadow: run.state, stoppedMs });
}

function lookBackMs(rules: readonly AlarmRule[]): number {
  return Math.min(LOOK_BACK_MS_MAX, Math.max(...rules.map(delaysMs), 0) + LOOK_BACK_MS_MIN);
}
