import type { AlarmMessage, AlarmTransition } from '#server/contract/alarm-message.ts';
import type { HandSampleDetails, LotDetails, MarkDetails } from '#server/contract/records.ts';
import type { Authorship } from '#server/ports/record-store.ts';

/** 14 September 2026, 06:00 UTC. */
export const SHIFT_START_MS = Date.UTC(2026, 8, 14, 6);
export const MINUTE_MS = 60_000;

export function said(minute: number, id = 'Ada'): Authorship {
  return { actor: { id, role: 'operator' }, timeMs: SHIFT_START_MS + minute * MINUTE_MS };
}

export function aLot(changes: Partial<LotDetails> = {}): LotDetails {
  return {
    line: 'line-1',
    number: 'QM-0417',
    crop: 'soybean',
    massKgPlanned: 40_000,
    testWeightKgPerHl: 72.5,
    route: 'all machines',
    treatmentPlan: 'Coat A',
    products: [{ name: 'Coat A', doseMlPerBu: 60, labelMlPerBuMin: 50, labelMlPerBuMax: null }],
    ...changes,
  };
}

export function aMark(changes: Partial<MarkDetails> = {}): MarkDetails {
  return {
    line: 'line-1',
    machine: 'gravity-table',
    kind: 'setting',
    timeMs: SHIFT_START_MS,
    text: 'Side tilt 2.0 to 2.3 degrees',
    ...changes,
  };
}

export function aHandSample(changes: Partial<HandSampleDetails> = {}): HandSampleDetails {
  return {
    line: 'line-1',
    stream: 'clean',
    lot: 'QM-0417',
    takenMs: SHIFT_START_MS,
    results: { moisture: { value: 0.122, unit: '1' } },
    note: '',
    ...changes,
  };
}

export function aTransition(changes: Partial<AlarmTransition> = {}): AlarmTransition {
  return {
    alarm: 'line-1.destoner.stopped',
    line: 'line-1',
    machine: 'destoner',
    subject: 'line-1.destoner.running',
    timeMs: SHIFT_START_MS,
    from: 'normal',
    to: 'unacknowledged',
    code: 'machine-stopped',
    priority: 'high',
    by: null,
    params: { machine: 'destoner' },
    ...changes,
  };
}

export function anAlarm(changes: Partial<AlarmMessage> = {}): AlarmMessage {
  return {
    id: 'line-1.destoner.stopped',
    line: 'line-1',
    machine: 'destoner',
    subject: 'line-1.destoner.running',
    code: 'machine-stopped',
    params: { machine: 'destoner' },
    priority: 'high',
    state: 'unacknowledged',
    raisedMs: SHIFT_START_MS,
    clearedMs: null,
    acknowledged: null,
    consequences: [],
    ...changes,
  };
}
