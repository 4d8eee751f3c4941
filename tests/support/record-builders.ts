import type { AlarmMessage, AlarmTransition } from '#server/contract/alarm-message.ts';
import type { BaselineDetails, FindingEntryDetails } from '#server/contract/machine-records.ts';
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

export function aBaseline(changes: Partial<BaselineDetails> = {}): BaselineDetails {
  return {
    line: 'line-1',
    machine: 'air-screen-fan',
    timeMs: SHIFT_START_MS,
    fromMs: SHIFT_START_MS - 14 * 86_400_000,
    toMs: SHIFT_START_MS,
    reason: 'first weeks after the overhaul',
    signals: [
      {
        signal: 'motor-current',
        groups: [
          {
            group: 'wheat',
            coefficients: [17.4, 0.3],
            influences: [{ name: 'load', middle: 12_000, spread: 1500, low: 9000, high: 13_500 }],
            deviation: 0.12,
            points: 420,
          },
        ],
        blockDeviation: 0.006,
        widening: 3,
        shared: 0.8,
        usual: 17.4,
      },
    ],
    ...changes,
  };
}

export function aFindingEntry(changes: Partial<FindingEntryDetails> = {}): FindingEntryDetails {
  return {
    line: 'line-1',
    machine: 'air-screen-fan',
    timeMs: SHIFT_START_MS,
    what: 'opened',
    finding: {
      machine: 'air-screen-fan',
      sinceMs: SHIFT_START_MS - 86_400_000,
      foundMs: SHIFT_START_MS,
      deviations: [
        {
          signal: 'vibration',
          direction: 'high',
          residual: 'ratio',
          level: 0.21,
          sinceMs: SHIFT_START_MS - 86_400_000,
          course: 'creep',
          slopePerDay: { middle: 0.08, low: 0.06, high: 0.1 },
          limit: 3.1,
          due: { earliestMs: SHIFT_START_MS + 9e8, middleMs: SHIFT_START_MS + 1.2e9, latestMs: null },
        },
      ],
      causes: [{ cause: 'bearing-wear', certainty: 'possible', score: 2, evidence: ['vibration-high'] }],
      due: null,
    },
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
