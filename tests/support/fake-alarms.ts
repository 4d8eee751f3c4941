import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { FakePlantFeed } from './fake-plant-feed.ts';
import { FEED_START_MS } from './fake-records.ts';

const ML_PER_FL_OZ = 29.573_529_562_5;
const MINUTE_MS = 60_000;

/** An alarm with everything that most tests do not care about. */
export function fakeAlarm(id: string, more: Partial<AlarmMessage> = {}): AlarmMessage {
  return {
    id,
    line: 'a',
    machine: null,
    subject: id,
    code: 'machine-stopped',
    params: {},
    priority: 'high',
    state: 'unacknowledged',
    raisedMs: FEED_START_MS,
    clearedMs: null,
    acknowledged: null,
    consequences: [],
    ...more,
  };
}

/** One alarm of each priority, as on a morning with a dose that is off: for pictures and for judging the looks. */
export function busyMorning(feed: FakePlantFeed): void {
  feed.scale('a.treater.dose', 1.052);
  feed.scale('a.gravity-table.reject-share', 1.31);
  feed.scale('a.gravity-table.reject-rate', 1.31);
  for (const alarm of MORNING_ALARMS) feed.setAlarm(alarm);
}

const MORNING_ALARMS: readonly AlarmMessage[] = [
  fakeAlarm('a.line.moisture.low', {
    subject: 'a.line.moisture',
    code: 'below-band',
    params: { value: { value: 0.108, unit: '1' }, limit: { value: 0.11, unit: '1' } },
    priority: 'low',
    state: 'acknowledged',
    raisedMs: FEED_START_MS - 486 * MINUTE_MS,
    acknowledged: { by: 'Operator 1', timeMs: FEED_START_MS - 474 * MINUTE_MS },
  }),
  fakeAlarm('a.gravity-table.reject-share.band', {
    machine: 'gravity-table',
    subject: 'a.gravity-table.reject-share',
    code: 'above-band',
    params: { value: { value: 0.068, unit: '1' }, limit: { value: 0.06, unit: '1' } },
    priority: 'medium',
    state: 'acknowledged',
    raisedMs: FEED_START_MS - 12 * MINUTE_MS,
    acknowledged: { by: 'Operator 3', timeMs: FEED_START_MS - 9 * MINUTE_MS },
  }),
  fakeAlarm('a.destoner.running.stop', {
    machine: 'destoner',
    subject: 'a.destoner.running',
    code: 'stopped-first',
    priority: 'high',
    state: 'returned-unacknowledged',
    raisedMs: FEED_START_MS - 45 * MINUTE_MS,
    clearedMs: FEED_START_MS - 37 * MINUTE_MS,
    consequences: ['sizer', 'aspirator', 'air-screen', 'scalper', 'intake'].map((machine, index) => ({
      machine,
      delayMs: 600 + index * 620,
    })),
  }),
  fakeAlarm('a.treater.dose.target', {
    machine: 'treater',
    subject: 'a.treater.dose',
    code: 'above-target',
    params: {
      value: { value: 5.08 * ML_PER_FL_OZ, unit: 'mL/bu' },
      target: { value: 4.8 * ML_PER_FL_OZ, unit: 'mL/bu' },
    },
    priority: 'high',
    state: 'unacknowledged',
    raisedMs: FEED_START_MS - 4 * MINUTE_MS,
  }),
];
