import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { restoredAlarmState } from '#server/alarms/restored-alarm-state.ts';
import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { AlarmRule } from '#server/contract/alarm-rule.ts';
import type { FigureMessage } from '#server/contract/figure-message.ts';
import type { LinkStatus } from '#server/contract/link-status.ts';
import type { Reading } from '#server/contract/reading.ts';
import type { LineSetup } from '#server/line/line-setup.ts';
import { Pipeline } from '#server/pipeline.ts';
import { CommandQueue } from '#server/pipeline/command-queue.ts';
import { FigureDesk } from '#server/pipeline/figure-desk.ts';
import { Recorder } from '#server/pipeline/recorder.ts';
import { shiftAt, type ShiftStart } from '#server/pipeline/shift-at.ts';
import { resumedAlarms } from '#server/study/resumed-alarms.ts';
import type { LiveUpdate } from '#server/ports/broadcaster.ts';
import type { RecordStore } from '#server/ports/record-store.ts';
import type { SampleStore, SeriesDefinition } from '#server/ports/sample-store.ts';
import { configurationOf, hotRule } from '#tests/alarms/rules.ts';
import { steady } from '#tests/line/demo-readings.ts';
import { SMALL_GRAPH, SMALL_TAGS, smallSetup } from '#tests/line/small-line.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';

/** 14 September 2026, 06:00 in Chicago. */
export const START_MS = Date.UTC(2026, 8, 14, 11);
const TICK_MS = 250;
const HOLD_BACK_MS = 500;

/** One alarm: more than 12,000 kg/h into the pit. */
export const OVERFED = 's.pit.overfed';
export const OVERFED_RULE = hotRule({
  id: OVERFED,
  line: 's',
  machine: 'pit',
  subject: 's.pit.flow',
  unit: 'kg/h',
  limits: [{ side: 'high', limit: 12_000, deadband: 100 }],
});

export const ACKNOWLEDGEMENT = {
  actor: { id: 'Ada', role: 'operator' },
  command: { kind: 'acknowledge-alarm', alarm: OVERFED },
} as const;

/** 10,000 kg/h in, 9,000 clean, the rest weighed too, one reading a second. */
export function running(span: { fromMs: number; toMs: number }) {
  const flows = {
    's.pit.flow': 10_000,
    's.cleaner.screenings': 400,
    's.table.lights': 600,
    's.table.clean-flow': 9000,
    's.drum.pump': 900,
  };
  return Object.entries(flows).flatMap(([tag, value]) => steady(tag, value, span));
}
export const after = (seconds: number) => START_MS + seconds * 1000;
export const overfed = (fromS: number, toS: number) =>
  steady('s.pit.flow', 13_000, { fromMs: after(fromS), toMs: after(toS) });

export interface RigParts {
  readonly line?: LineSetup;
  readonly standing?: readonly AlarmMessage[];
  readonly shifts?: readonly ShiftStart[];
  readonly records?: RecordStore;
  readonly samples?: SampleStore;
  readonly rules?: readonly AlarmRule[];
  readonly startMs?: number;
  /** Takes up the delays that were running, as the server does. */
  readonly resumes?: boolean;
}

function defaults(): Required<RigParts> {
  return {
    line: smallSetup(),
    standing: [],
    shifts: [],
    records: memoryRecordStore(),
    samples: memorySampleStore(),
    rules: [OVERFED_RULE],
    startMs: START_MS,
    resumes: false,
  };
}

/** The whole pipeline on the small line, with stores in memory and a hand on time. */
export async function pipelineRig(parts: RigParts = {}) {
  const { line, standing, shifts, records, samples, rules, startMs, resumes } = { ...defaults(), ...parts };
  const time = { nowMs: startMs };
  const clock = { nowMs: () => time.nowMs, every: () => () => undefined };
  const figures = line.plans.map(({ description }) => description);
  const seriesOf = await samples.register(
    [...SMALL_TAGS, ...figures.map(({ id }) => id)].map(definitionOf),
    START_MS,
  );
  const recorder = new Recorder({
    store: samples,
    clock,
    writer: 'test',
    lastSequence: await samples.lastSequence('test'),
  });
  const commands = new CommandQueue();
  const alarms = alarmSetup(configurationOf(rules), [SMALL_GRAPH]);
  const staleAfterMs = new Map([...alarms.subjects].map((tag) => [tag, 10_000]));
  const restored = restoredAlarmState(alarms, standing);
  const resuming = { samples, records, setup: alarms, tickMs: TICK_MS, bandOf: () => null };
  const updates: LiveUpdate[] = [];
  const log: string[] = [];
  const pipeline = new Pipeline({
    setup: { timing: { tickMs: TICK_MS, holdBackMs: HOLD_BACK_MS }, lines: [line], alarms, staleAfterMs },
    figures,
    lines: new Set(['s']),
    crops: new Set(['soybean', 'corn']),
    alarms: resumes ? await resumedAlarms(resuming, restored, time.nowMs) : restored,
    standing,
    recentJournal: [],
    seriesOf,
    shiftAt: (nowMs) => shiftAt(shifts, 'America/Chicago', nowMs),
    commands,
    figureDesk: new FigureDesk([line]),
    clock,
    recorder,
    records,
    broadcaster: { publish: (update) => updates.push(update) },
    log: (text) => log.push(text),
  });

  const tickAt = async (nowMs: number) => {
    time.nowMs = nowMs;
    await pipeline.tick();
    await recorder.settled();
  };
  return {
    pipeline,
    commands,
    records,
    samples,
    updates,
    log,
    tickAt,
    /** Plays readings as they arrive, a tick every 250 ms, until a time. */
    async play(readings: readonly Reading[], untilMs: number) {
      const inOrder = readings.toSorted((a, b) => a.arrivalMs - b.arrivalMs);
      let next = 0;
      for (let nowMs = time.nowMs + TICK_MS; nowMs <= untilMs; nowMs += TICK_MS) {
        const first = next;
        while ((inOrder[next]?.arrivalMs ?? Infinity) <= nowMs) next += 1;
        if (next > first) pipeline.sink.readings(inOrder.slice(first, next));
        await tickAt(nowMs);
      }
    },
    stored: (name: string) => storedOf(samples, seriesOf.get(name) ?? -1),
    /** What the browsers know of a figure now. */
    shown: (id: string) => lastOf(updates, id),
  };
}

/** Every sample of a series as `[ms after the start, value, status, reason]`. */
async function storedOf(samples: SampleStore, series: number) {
  const request = { series: [series], fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
  const found: [number, number, number, number][] = [];
  for await (const { timeMs, value, status, reason } of samples.raw(request, new AbortController().signal)) {
    for (const [at, ms] of timeMs.entries()) {
      found.push([ms - START_MS, value[at] ?? NaN, status[at] ?? -1, reason[at] ?? -1]);
    }
  }
  return found;
}

function lastOf(updates: readonly LiveUpdate[], id: string): FigureMessage | undefined {
  return updates.flatMap(({ figures }) => figures).findLast((figure) => figure.id === id);
}

function definitionOf(name: string): SeriesDefinition {
  return {
    name,
    kind: SMALL_TAGS.includes(name) ? 'tag' : 'figure',
    unit: 'kg/h',
    interpolation: 'linear',
    resolution: 0,
    heldMs: 10_000,
  };
}

export function link(parts: Partial<LinkStatus>): LinkStatus {
  return {
    endpoint: 'plc',
    url: 'opc.tcp://127.0.0.1:4840',
    state: 'live',
    sinceMs: START_MS,
    lastHeardMs: START_MS,
    clockOffsetMs: 0,
    because: null,
    ...parts,
  };
}

/** Records of which some calls fail while `isFull`, as on a full disk. */
export function fillingRecords() {
  const inner = memoryRecordStore();
  const disk = { isFull: false };
  const full = () => Promise.reject(new Error('disk full'));
  const records: RecordStore = {
    ...inner,
    journalAlarms: (...said) => (disk.isFull ? full() : inner.journalAlarms(...said)),
    journalCommand: (...said) => (disk.isFull ? full() : inner.journalCommand(...said)),
    startLot: (...said) => (disk.isFull ? full() : inner.startLot(...said)),
    startShift: (...said) => (disk.isFull ? full() : inner.startShift(...said)),
    runningLots: () => (disk.isFull ? full() : inner.runningLots()),
  };
  return { disk, records };
}
