import type { AlarmMessage, AlarmTransition } from '#server/contract/alarm-message.ts';
import type { AlarmRule, FirstStopSettings, Suppression } from '#server/contract/alarm-rule.ts';
import type { Band, FigureMessage } from '#server/contract/figure-message.ts';
import type { LineGraph } from '#server/contract/line-graph.ts';
import type { Reading } from '#server/contract/reading.ts';
import type { UnknownReason } from '#server/calc/unknown-reason.ts';
import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import type { AlarmOrder } from '#server/alarms/alarm-order.ts';
import { alarmStateAtStart, standingAlarms, type AlarmState } from '#server/alarms/alarm-state.ts';
import { restoredAlarmState } from '#server/alarms/restored-alarm-state.ts';
import { stepAlarms, type AlarmInput } from '#server/alarms/step-alarms.ts';
import { configurationOf } from './rules.ts';

const TICK_MS = 250;

export interface Rig {
  /** Queues a good reading; null is a bad one. */
  read(tag: string, timeMs: number, value: number | null): void;
  queue(reading: Omit<Reading, 'arrivalMs'>): void;
  /** Sets a figure from now on. */
  figure(id: string, value: number | null, more?: { band?: Band; because?: UnknownReason }): void;
  acknowledge(alarm: string, timeMs: number, by?: string): void;
  order(order: AlarmOrder): void;
  /** Notes a lot or setting change. */
  restartCharts(restart: NonNullable<AlarmInput['restarts']>[number]): void;
  tick(): void;
  /** Ticks until the frame that ends at or after `untilMs`. */
  run(untilMs: number): void;
  /** Gives the plant's latest without its having been in a frame. */
  arriveLate(tag: string, timeMs: number, value: number): void;
  /** Kills the process and starts it again with what was journalled. */
  restart(rules?: readonly AlarmRule[]): void;
  standing(): readonly AlarmMessage[];
  alarm(id: string): AlarmMessage | undefined;
  readonly journal: readonly AlarmTransition[];
  /** Every message told so far, in order. */
  readonly told: readonly AlarmMessage[];
}

export interface RigOptions {
  readonly firstStop?: readonly FirstStopSettings[];
  readonly graphs?: readonly LineGraph[];
  readonly suppressions?: readonly Suppression[];
  readonly tickMs?: number;
}

/** Alarms with a hand on time: what the pipeline does every tick, without pipeline. */
export function alarmRig(rules: readonly AlarmRule[], options: RigOptions = {}): Rig {
  const { firstStop = [], graphs = [], suppressions = [], tickMs = TICK_MS } = options;
  const setupOf = (of: readonly AlarmRule[]) =>
    alarmSetup(configurationOf(of, { firstStop: [...firstStop], suppressions: [...suppressions] }), graphs);
  let setup = setupOf(rules);
  let state: AlarmState = alarmStateAtStart(setup);
  let endMs = 0;
  let queue: Reading[] = [];
  let orders: AlarmOrder[] = [];
  let restarts: NonNullable<AlarmInput['restarts']>[number][] = [];
  const latest = new Map<string, Reading>();
  const figures = new Map<string, FigureMessage>();
  const journal: AlarmTransition[] = [];
  const told: AlarmMessage[] = [];

  function tick(): void {
    endMs += tickMs;
    const readings = queue.filter(({ sourceTimeMs }) => sourceTimeMs <= endMs);
    queue = queue.filter(({ sourceTimeMs }) => sourceTimeMs > endMs);
    readings.sort((a, b) => a.sourceTimeMs - b.sourceTimeMs);
    for (const reading of readings) latest.set(reading.tag, reading);
    const frame = { endMs, tickMs, readings, latest: new Map(latest) };
    const step = stepAlarms(setup, state, {
      frame,
      figures: new Map(figures),
      acknowledgements: [],
      orders,
      restarts,
    });
    orders = [];
    restarts = [];
    state = step.state;
    journal.push(...step.transitions);
    told.push(...step.changed);
  }

  function enqueue(reading: Omit<Reading, 'arrivalMs'>): void {
    queue.push({ ...reading, arrivalMs: reading.sourceTimeMs });
  }

  return {
    read: (tag, sourceTimeMs, value) =>
      enqueue({ tag, sourceTimeMs, value, quality: value === null ? 'bad' : 'good' }),
    queue: enqueue,
    figure: (id, value, more = {}) =>
      figures.set(id, {
        id,
        timeMs: endMs,
        value,
        because: value === null ? (more.because ?? 'line-stopped') : null,
        quality: value === null ? 'bad' : 'good',
        uncertainty: null,
        coveredRatio: null,
        band: more.band ?? null,
      }),
    acknowledge: (alarm, timeMs, by = 'Operator 3') =>
      orders.push({ kind: 'acknowledge', alarm, by, timeMs }),
    order: (order) => orders.push(order),
    restartCharts: (restart) => restarts.push(restart),
    tick,
    run(untilMs) {
      while (endMs < untilMs) tick();
    },
    arriveLate: (tag, timeMs, value) =>
      latest.set(tag, { tag, sourceTimeMs: timeMs, arrivalMs: endMs, value, quality: 'good' }),
    restart(again = rules) {
      const kept = standingAlarms(setup, state);
      setup = setupOf(again);
      state = restoredAlarmState(setup, JSON.parse(JSON.stringify(kept)) as AlarmMessage[]);
      latest.clear();
    },
    standing: () => standingAlarms(setup, state),
    alarm: (id) => standingAlarms(setup, state).find((message) => message.id === id),
    journal,
    told,
  };
}

/** The journal as one can read it: `12000 unacknowledged > acknowledged`. */
export function journalText(rig: Rig, alarm: string): readonly string[] {
  return rig.journal
    .filter((line) => line.alarm === alarm)
    .map(({ timeMs, from, to, code }) => `${timeMs} ${from} > ${to} (${code})`);
}
