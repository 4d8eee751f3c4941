import { restartsOfRecords } from '../alarms/chart-restarts.ts';
import type { AlarmSetup } from '../alarms/alarm-setup.ts';
import type { AlarmState } from '../alarms/alarm-state.ts';
import { playTick, type ReplayRun } from '../alarms/replayed-alarms.ts';
import { withResumedDelays } from '../alarms/resumed-delays.ts';
import type { AlarmRule } from '../contract/alarm-rule.ts';
import type { Band } from '../contract/figure-message.ts';
import type { RecordStore } from '../ports/record-store.ts';
import type { SampleStore } from '../ports/sample-store.ts';
import { recordedEvents, recordedSubjects } from './recorded-events.ts';
import { TickMaker } from './recorded-ticks.ts';
import { lookBackMs } from './replay-scope.ts';

interface ResumingParts {
  readonly samples: SampleStore;
  readonly records: RecordStore;
  readonly setup: AlarmSetup;
  readonly tickMs: number;
  readonly bandOf: (figure: string) => Band | null;
}

/** After a longer stand the plant may be in another state altogether: delays begin anew. */
const STOOD_MS_MAX = 60_000;
/** What a kill may have left unjudged, and a little more. */
const LOOK_BACK_MS_MIN = 10_000;
const LOOK_BACK_MS_MAX = 600_000;

/**
 * The alarms as they were journalled, with the delays that were running and what charts had learned of the last ten
 * minutes, from the last readings in the history. Charts that learn for longer begin anew.
 */
export async function resumedAlarms(
  parts: ResumingParts,
  restored: AlarmState,
  nowMs: number,
): Promise<AlarmState> {
  const { samples, records, setup, tickMs, bandOf } = parts;
  const subjects = await recordedSubjects(samples, setup.subjects);
  const newest = await samples.valuesAt(
    subjects.map(({ series }) => series),
    nowMs,
  );
  const stoppedMs = Math.max(...newest.map(({ timeMs }) => timeMs));
  if (!(nowMs - stoppedMs <= STOOD_MS_MAX)) return restored;
  const looked = { fromMs: stoppedMs - lookBackOf(setup.plans.map(({ rule }) => rule)), toMs: stoppedMs + 1 };
  const [lots, marks] = [await records.lots(looked), await records.marks(looked)];
  const restarts = restartsOfRecords(lots, marks).filter(({ timeMs }) => timeMs >= looked.fromMs);
  const range = { ...looked, subjects, windowMs: LOOK_BACK_MS_MAX + tickMs };
  const maker = new TickMaker({ tickMs, bandOf, restarts });
  const run: ReplayRun = { setup, transitions: [], state: { ...restored, orphans: [] }, playedMs: null };
  for await (const events of recordedEvents(samples, range, new AbortController().signal)) {
    for (const tick of maker.ticksOf(events)) playTick(run, tick);
  }
  return withResumedDelays(setup, { restored, shadow: run.state, stoppedMs });
}

function lookBackOf(rules: readonly AlarmRule[]): number {
  return Math.min(LOOK_BACK_MS_MAX, Math.max(...rules.map(lookBackMs), 0) + LOOK_BACK_MS_MIN);
}
