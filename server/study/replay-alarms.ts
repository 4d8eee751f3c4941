import { setImmediate } from 'node:timers/promises';
import { restartsOfRecords } from '../alarms/chart-restarts.ts';
import {
  isUndecided,
  newReplay,
  playTick,
  type ReplayRun,
  type ReplayTick,
} from '../alarms/replayed-alarms.ts';
import type { AlarmConfiguration } from '../contract/alarm-rule.ts';
import type { Band } from '../contract/figure-message.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { RecordStore, TimeRange } from '../ports/record-store.ts';
import type { SampleStore } from '../ports/sample-store.ts';
import { recordedEvents, type RecordedSubject } from './recorded-events.ts';
import { TickMaker } from './recorded-ticks.ts';
import { narrowedTo, type ReplayScope } from './replay-scope.ts';

export interface ReplayParts {
  readonly samples: SampleStore;
  readonly records: RecordStore;
  readonly graphs: readonly LineGraph[];
  readonly tickMs: number;
  readonly bandOf: (figure: string) => Band | null;
}

export interface ReplayTask extends TimeRange {
  readonly scope: ReplayScope;
  readonly subjects: readonly RecordedSubject[];
  readonly configurations: readonly AlarmConfiguration[];
}

export interface PlayedRules {
  /** One for each configuration; it began before the time asked for, and must be cut to it. */
  readonly runs: readonly ReplayRun[];
  readonly samples: number;
  readonly heard: ReadonlySet<string>;
}

/** So many samples of one window are held at a time; at one a second of each subject that is some ten thousand. */
const WINDOW_SAMPLES = 200_000;
const WINDOW_MS_MIN = 60_000;
const WINDOW_MS_MAX = 3_600_000;
/** The clockwork ticks on the same thread: after this long it has its turn. */
const WORK_MS = 8;

/**
 * Plays the recorded time, and as much before it as the rules look back, to each configuration.
 *
 * Readings are all kept, so alarms on tags come at the same millisecond as live. Figures are kept once a second: an
 * alarm on a figure may come up to a second later or earlier than it did.
 */
export async function playedRules(
  parts: ReplayParts,
  task: ReplayTask,
  signal: AbortSignal,
): Promise<PlayedRules> {
  const { subjects, scope } = task;
  const range = { fromMs: task.fromMs - scope.leadMs, toMs: task.toMs };
  const rules = new Set(scope.rules);
  const runs = task.configurations.map((one) => newReplay(narrowedTo(one, rules), parts.graphs));
  const [lots, marks] = [await parts.records.lots(range), await parts.records.marks(range)];
  const restarts = restartsOfRecords(lots, marks).filter(({ timeMs }) => timeMs >= range.fromMs);
  const maker = new TickMaker({ tickMs: parts.tickMs, bandOf: parts.bandOf, restarts });
  const turn = fairTurns();
  const heard = new Set<string>();
  let samples = 0;
  const windowMs = windowFor(subjects.length);
  for await (const events of recordedEvents(parts.samples, { subjects, ...range, windowMs }, signal)) {
    samples += events.length;
    for (const { subject } of events) heard.add(subject.name);
    for (const tick of maker.ticksOf(events)) {
      for (const run of runs) playTo(run, tick, maker);
      await turn();
      signal.throwIfAborted();
    }
  }
  const last = maker.lastTick(range.toMs);
  for (const run of runs) playTo(run, last, maker);
  return { runs, samples, heard };
}

/** Plays a tick, and before it as many empty ones as stops need that wait to be put in order. */
function playTo(run: ReplayRun, tick: ReplayTick, maker: TickMaker): void {
  const { tickMs, endMs } = tick.frame;
  for (let atMs = (run.playedMs ?? endMs) + tickMs; atMs < endMs && isUndecided(run); atMs += tickMs) {
    playTick(run, maker.quietTick(atMs));
  }
  playTick(run, tick);
}

function windowFor(subjects: number): number {
  const windowMs = (WINDOW_SAMPLES * 1000) / Math.max(1, subjects);
  return Math.min(WINDOW_MS_MAX, Math.max(WINDOW_MS_MIN, windowMs));
}

/** Waits now and then for whatever else the thread has to do. */
function fairTurns(): () => Promise<void> {
  let sinceMs = performance.now();
  return async () => {
    if (performance.now() - sinceMs < WORK_MS) return;
    await setImmediate();
    sinceMs = performance.now();
  };
}
