import type { IncomingMessage, ServerResponse } from 'node:http';
import type { AlarmCatalogue } from '#server/contract/alarm-catalogue.ts';
import type { AlarmMeasures, ShiftMeasures } from '#server/contract/alarm-measures.ts';
import type { ReplayAnswer, ReplayRequest } from '#server/contract/alarm-replay.ts';
import { FEED_START_MS } from './fake-records.ts';
import { jsonBody, sendJson } from './serve-pages.ts';

const HOUR_MS = 3_600_000;
const STOPPED = 'a.destoner.running.stop';

export const FAKE_CATALOGUE: AlarmCatalogue = {
  rules: [
    {
      id: STOPPED,
      line: 'a',
      machine: 'destoner',
      subject: 'a.destoner.running',
      rule: {
        id: STOPPED,
        line: 'a',
        machine: 'destoner',
        card: 'machine-stopped',
        kind: 'run-contact',
        subject: 'a.destoner.running',
        onDelayMs: 500,
      },
    },
    {
      id: 'a.treater.dose.target',
      line: 'a',
      machine: 'treater',
      subject: 'a.treater.dose',
      rule: {
        id: 'a.treater.dose.target',
        line: 'a',
        machine: 'treater',
        card: 'dose-off',
        kind: 'deviation',
        subject: 'a.treater.dose',
        unit: 'mL/bu',
        allowed: { from: 'target', ratio: 0.03, deadbandRatio: 0.005 },
      },
    },
  ],
  cards: {
    'machine-stopped': {
      causes: ['Motor overload', 'Jam or choked discharge'],
      consequence: 'The machines that feed it stand too.',
      severity: 'major',
      actions: ['See which machine stopped first.', 'Lock out and tag before you open a guard or reach in.'],
      respondWithinMs: 600_000,
      priority: 'high',
    },
  },
  suppressions: [],
  shelvedMsMax: 12 * HOUR_MS,
};

const FAKE_MEASURES: AlarmMeasures = {
  fromMs: FEED_START_MS - 24 * HOUR_MS,
  toMs: FEED_START_MS,
  annunciations: 9,
  perDay: 9,
  perHour: 0.375,
  perTenMinutes: 0.0625,
  tenMinutesMax: 3,
  busyTenMinutesRatio: 0,
  busyHoursRatio: 0,
  floods: [],
  floodRatio: 0,
  topTen: [
    { alarm: 'a.treater.dose.target', count: 6 },
    { alarm: STOPPED, count: 3 },
  ],
  topTenRatio: 1,
  chattering: ['a.treater.dose.target'],
  fleeting: [],
  stale: [],
  byPriority: { critical: 0, high: 9, medium: 0, low: 0 },
  acknowledgeMsMedian: 42_000,
  acknowledgeMsP95: 180_000,
  verdicts: [
    { metric: 'perDay', value: 9, targetMax: 144, isMet: true },
    { metric: 'chattering', value: 1, targetMax: 0, isMet: false },
  ],
};

const FAKE_SHIFT_MEASURES: readonly ShiftMeasures[] = [
  { shift: 1, line: 'a', name: 'Day shift', measures: FAKE_MEASURES },
];

/** As one annunciation in force and none as proposed; a proposal without rules is refused, as the server does. */
function fakeReplay({ fromMs, toMs, proposal }: ReplayRequest): ReplayAnswer | string {
  if (!proposal.includes('rules:')) {
    return 'RULES_PROPOSAL proposal: got no rule, expected "rules:"; name a rule and what to change';
  }
  const annunciation = {
    alarm: STOPPED,
    line: 'a',
    machine: 'destoner',
    subject: 'a.destoner.running',
    timeMs: toMs - HOUR_MS,
    from: 'normal' as const,
    to: 'unacknowledged' as const,
    code: 'machine-stopped' as const,
    priority: 'high' as const,
    by: null,
    params: {},
  };
  const none = { annunciations: 0, stoodBefore: [], tenMinutesMax: 0, occurrences: [], isCut: false };
  return {
    fromMs,
    toMs,
    rules: [STOPPED],
    withoutHistory: [],
    samples: 1000,
    cost: [{ alarm: STOPPED, inForce: 1, proposed: 0 }],
    inForce: {
      ...none,
      annunciations: 1,
      tenMinutesMax: 1,
      occurrences: [{ alarm: STOPPED, annunciation, clearedMs: toMs - HOUR_MS / 2 }],
    },
    proposed: none,
  };
}

/** Answers what the Alarms view asks beside the journal; false where the address is none of these. */
export async function answerStudies(request: IncomingMessage, response: ServerResponse): Promise<boolean> {
  const { pathname } = new URL(request.url ?? '/', 'http://127.0.0.1');
  if (pathname === '/api/alarms/replay') {
    const answer = fakeReplay((await jsonBody(request)) as ReplayRequest);
    if (typeof answer === 'string') sendJson(response, { error: answer }, 400);
    else sendJson(response, answer);
    return true;
  }
  const answer = ANSWERS[pathname];
  if (answer !== undefined) sendJson(response, answer);
  return answer !== undefined;
}

const ANSWERS: Readonly<Record<string, unknown>> = {
  '/api/alarms/catalogue': FAKE_CATALOGUE,
  '/api/alarms/measures': FAKE_MEASURES,
  '/api/alarms/measures/shifts': FAKE_SHIFT_MEASURES,
};
