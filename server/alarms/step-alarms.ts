import type { AlarmMessage, AlarmTransition } from '../contract/alarm-message.ts';
import type { FigureMessage } from '../contract/figure-message.ts';
import type { Frame } from '../contract/frame.ts';
import type { Reading } from '../contract/reading.ts';
import { observed, passed, startedAnew } from './advance-alarm.ts';
import { carriedOut, type AlarmOrder } from './alarm-order.ts';
import { alarmMessageOf, isToldAlike } from './alarm-record.ts';
import type { AlarmSetup } from './alarm-setup.ts';
import type { AlarmState } from './alarm-state.ts';
import type { AlarmTick } from './alarm-tick.ts';
import { alarmStateOf } from './lifecycle.ts';
import { sampleOfFigure, sampleOfReading, type Sample } from './sample.ts';
import { hearSuppressions, passSuppressions } from './suppress.ts';
import { settledCascades } from './settle-cascades.ts';

export interface AlarmInput {
  readonly frame: Frame;
  /** All figures as they stand at the end of the frame, by id. */
  readonly figures: ReadonlyMap<string, FigureMessage>;
  /** What people did since the last tick; it is of the alarms as they saw them, before this frame. */
  readonly acknowledgements: readonly Acknowledgement[];
  readonly orders?: readonly AlarmOrder[];
  /** Lot and setting changes since the last tick; without a machine, of the whole line. */
  readonly restarts?: readonly ChartRestart[];
}

export interface ChartRestart {
  readonly line: string;
  readonly machine: string | null;
  readonly timeMs: number;
}

interface Acknowledgement {
  readonly alarm: string;
  readonly by: string;
  readonly timeMs: number;
}

export interface AlarmStep {
  readonly state: AlarmState;
  /** Each alarm whose message differs from before the tick, as it stands after it. */
  readonly changed: readonly AlarmMessage[];
  /** Every line for the journal, in the order in which it came about; of one alarm, an unbroken chain. */
  readonly transitions: readonly AlarmTransition[];
}

/**
 * One tick of all alarms.
 *
 * Every reading in the frame is judged at its own source time, so a pulse shorter than a tick alarms and a delay is
 * exact. Only rules that heard something, or whose time has come, are worked on.
 */
export function stepAlarms(setup: AlarmSetup, state: AlarmState, input: AlarmInput): AlarmStep {
  const { endMs, latest } = input.frame;
  const work = { transitions: [], stops: [] };
  const tick: AlarmTick = {
    setup,
    records: [...state.records],
    suppressions: [...state.suppressions],
    work,
    latest,
    endMs,
  };
  const orphans = buried(state.orphans, tick);

  for (const said of input.acknowledgements) carriedOut(tick, { kind: 'acknowledge', ...said });
  for (const order of input.orders ?? []) carriedOut(tick, order);
  for (const restart of input.restarts ?? []) restartCharts(tick, restart);
  const heard = hearReadings(tick, state.heard, input.frame);
  for (const [id, figure] of input.figures) hear(tick, id, sampleOfFigure(figure, endMs));
  passSuppressions(tick, endMs);
  passTime(tick);
  const cascades = setup.stopGraphs.map((graph, at) =>
    settledCascades(tick, graph, state.cascades[at] ?? []),
  );

  return {
    state: { records: tick.records, suppressions: tick.suppressions, heard, cascades, orphans: [] },
    changed: [...orphans, ...changedSince(state, tick)],
    transitions: work.transitions,
  };
}

/**
 * Hears the readings of the frame in source-time order; then what the frame does not hold but the plant's latest
 * does. A contact that changed while the link was down comes too late for its frame: the past stays as it was
 * told, but what the contact says now counts.
 */
function hearReadings(
  tick: AlarmTick,
  before: ReadonlyMap<string, Reading>,
  frame: Frame,
): ReadonlyMap<string, Reading> {
  const { subjects } = tick.setup;
  // Copied as a whole, for most of a plant speaks in each tick: with ten thousand rules, lists of news took longer.
  const heard = new Map(before);
  const news = { isThere: false };
  const take = (reading: Reading) => {
    news.isThere = true;
    heard.set(reading.tag, reading);
    hear(tick, reading.tag, sampleOfReading(reading));
  };
  for (const reading of frame.readings) if (subjects.has(reading.tag)) take(reading);
  for (const subject of subjects) {
    const reading = frame.latest.get(subject);
    if (reading !== undefined && isNews(reading, heard.get(subject))) take(reading);
  }
  return news.isThere ? heard : before;
}

function isNews(reading: Reading, known: Reading | undefined): boolean {
  return reading !== known && reading.sourceTimeMs > (known?.sourceTimeMs ?? -Infinity);
}

/** What withholds alarms is heard first, so that what it withholds at the same instant is never told. */
function hear(tick: AlarmTick, subject: string, sample: Sample): void {
  hearSuppressions(tick, subject, sample);
  for (const ear of tick.setup.earsOf.get(subject) ?? []) {
    const plan = tick.setup.plans[ear.slot];
    const record = tick.records[ear.slot];
    if (plan === undefined || record === undefined) continue;
    tick.records[ear.slot] = observed(plan, record, { ear, sample, work: tick.work });
  }
}

/** A setting of one machine changes that machine's figures, and those of the line as a whole. */
function restartCharts(tick: AlarmTick, { line, machine, timeMs }: ChartRestart): void {
  for (const plan of tick.setup.plans) {
    const { rule } = plan;
    const record = tick.records[plan.slot];
    const isMeant = machine === null || rule.machine === null || rule.machine === machine;
    if (record === undefined || rule.kind !== 'drift' || rule.line !== line || !isMeant) continue;
    tick.records[plan.slot] = startedAnew(plan, record, { timeMs, work: tick.work });
  }
}

function passTime(tick: AlarmTick): void {
  const until = { untilMs: tick.endMs, work: tick.work };
  for (const plan of tick.setup.plans) {
    const record = tick.records[plan.slot];
    if (record === undefined || record.dueMs > tick.endMs) continue;
    tick.records[plan.slot] = passed(plan, record, until);
  }
}

function changedSince(state: AlarmState, tick: AlarmTick): readonly AlarmMessage[] {
  return tick.setup.plans.flatMap((plan) => {
    const [before, after] = [state.records[plan.slot], tick.records[plan.slot]];
    if (before === undefined || after === undefined || before === after || isToldAlike(before, after))
      return [];
    const isNormal = alarmStateOf(before.life) === 'normal' && alarmStateOf(after.life) === 'normal';
    return isNormal ? [] : [alarmMessageOf(plan, after)];
  });
}

/** An alarm whose rule has been taken out of the configuration ends; the journal says so. */
function buried(orphans: readonly AlarmMessage[], tick: AlarmTick): readonly AlarmMessage[] {
  return orphans.map((orphan) => {
    const { id: alarm, line, machine, subject, state: from, code, priority } = orphan;
    const params = { ...orphan.params, ended: 'rule-removed' };
    const timeMs = tick.endMs;
    const about = { alarm, line, machine, subject };
    tick.work.transitions.push({ ...about, timeMs, from, to: 'normal', code, priority, by: null, params });
    return { ...orphan, state: 'normal', clearedMs: orphan.clearedMs ?? timeMs };
  });
}
