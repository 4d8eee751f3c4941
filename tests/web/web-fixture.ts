import { pino } from 'pino';
import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { FigureMessage } from '#server/contract/figure-message.ts';
import type { PlantDescription } from '#server/contract/plant-description.ts';
import type { Reading } from '#server/contract/reading.ts';
import { CONTRACT_VERSION } from '#server/contract/version.ts';
import type { LiveUpdate } from '#server/ports/broadcaster.ts';
import type { Clock } from '#server/ports/clock.ts';
import { historyExport } from '#server/history/export/history-export.ts';
import { stretchReports } from '#server/reports/stretch-reports.ts';
import { alarmStudy } from '#server/study/alarm-study.ts';
import { newestState } from '#server/web/live/newest-state.ts';
import type { WebHouse } from '#server/web/web-house.ts';
import { BARE_CONFIG } from '#tests/study/bare-config.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { SHIFT_START_MS } from '#tests/support/record-builders.ts';

export const TICK_MS = 250;

/** A clock that stands until it is moved. */
export function standingClock(): Clock & { move(ms: number): void } {
  let nowMs = SHIFT_START_MS;
  return {
    nowMs: () => nowMs,
    every: () => () => undefined,
    move: (ms) => void (nowMs += ms),
  };
}

export const PLANT: PlantDescription = {
  contractVersion: CONTRACT_VERSION,
  name: 'Quillmarsh Station',
  timeZone: 'America/Chicago',
  tickMs: TICK_MS,
  crops: [],
  lines: [],
  tags: [],
  figures: [],
};

/** What the web answers from, with nothing behind it that is not in memory. */
export function webHouse(changes: Partial<WebHouse> = {}): WebHouse {
  const clock = changes.clock ?? standingClock();
  const samples = changes.samples ?? memorySampleStore();
  const records = changes.records ?? memoryRecordStore();
  return {
    host: '127.0.0.1',
    plant: PLANT,
    clientFolder: '/no/such/folder',
    samples,
    figures: { explained: () => null, balances: () => [], lags: () => [] },
    alarms: alarmStudy({ config: BARE_CONFIG, samples, records, clock }),
    exportHistory: (request, signal) => historyExport(samples, request, signal),
    stretches: stretchReports(samples),
    seriesOf: () => undefined,
    records,
    desk: { carryOut: () => Promise.resolve({ done: true, recordId: 1 }) },
    clock,
    log: pino({ enabled: false }),
    newest: newestState(clock),
    ...changes,
  };
}

export function update(changes: Partial<LiveUpdate> = {}): LiveUpdate {
  return {
    timeMs: SHIFT_START_MS,
    figures: [],
    readings: [],
    alarms: [],
    links: [],
    recording: null,
    flood: null,
    lots: null,
    shifts: null,
    ...changes,
  };
}

export function figure(id: string, value: number | null, timeMs = SHIFT_START_MS): FigureMessage {
  return {
    id,
    timeMs,
    value,
    because: value === null ? 'line-stopped' : null,
    quality: 'good',
    uncertainty: null,
    coveredRatio: null,
    band: null,
  };
}

export function reading(tag: string, value: number | null, sourceTimeMs = SHIFT_START_MS): Reading {
  return { tag, sourceTimeMs, arrivalMs: sourceTimeMs + 20, value, quality: value === null ? 'bad' : 'good' };
}

export function alarm(id: string, state: AlarmMessage['state']): AlarmMessage {
  return {
    id,
    line: 'line-1',
    machine: null,
    subject: 'line-1.destoner.running',
    code: 'machine-stopped',
    params: {},
    priority: 'high',
    state,
    raisedMs: SHIFT_START_MS,
    clearedMs: null,
    acknowledged: null,
    consequences: [],
  };
}
