import type { ServerResponse } from 'node:http';
import type { Finding } from '#server/contract/machine-health.ts';
import type {
  MachinePage,
  MachinesAnswer,
  MachineStanding,
  SignalCourse,
} from '#server/contract/machine-standing.ts';
import { FEED_START_MS } from './fake-records.ts';
import { sendJson } from './serve-pages.ts';

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const POINTS = 240;

const BEARING: Finding = {
  machine: 'air-screen-fan',
  sinceMs: FEED_START_MS - 6 * DAY_MS,
  foundMs: FEED_START_MS - 5 * DAY_MS,
  deviations: [
    {
      signal: 'vibration',
      direction: 'high',
      residual: 'ratio',
      level: 0.62,
      sinceMs: FEED_START_MS - 6 * DAY_MS,
      course: 'creep',
      slopePerDay: { middle: 0.1, low: 0.08, high: 0.12 },
      limit: 3,
      due: {
        earliestMs: FEED_START_MS + 6 * DAY_MS,
        middleMs: FEED_START_MS + 9 * DAY_MS,
        latestMs: FEED_START_MS + 14 * DAY_MS,
      },
    },
  ],
  causes: [{ cause: 'bearing-wear', certainty: 'likely', score: 0.8, evidence: ['vibration-high'] }],
  due: {
    earliestMs: FEED_START_MS + 6 * DAY_MS,
    middleMs: FEED_START_MS + 9 * DAY_MS,
    latestMs: FEED_START_MS + 14 * DAY_MS,
  },
};

function standing(machine: string, name: string, finding: Finding | null): MachineStanding {
  const isWell = finding === null;
  const fromMs = FEED_START_MS - 40 * DAY_MS;
  return {
    machine,
    name,
    line: 'a',
    partOf: 'air-screen',
    kind: 'fan',
    regime: 'running',
    baseline: { version: 1, timeMs: fromMs, fromMs, toMs: fromMs + 7 * DAY_MS, reason: 'After the service' },
    signals: [
      {
        signal: 'vibration',
        unit: 'mm/s',
        residual: 'ratio',
        level: isWell ? 0.02 : 0.62,
        levelMin: 0.12,
        value: isWell ? 1.14 : 1.81,
        expected: 1.12,
        isDrifting: !isWell,
      },
    ],
    checks: [
      {
        check: 'vibration-zone',
        verdict: isWell ? 'good' : 'watch',
        value: isWell ? 1.14 : 1.81,
        watchFrom: 1.8,
        actFrom: 4.5,
        unit: 'mm/s',
        detail: isWell ? 'B' : 'C',
      },
    ],
    finding,
    concern: isWell ? 0.2 : 5,
    days: Array.from({ length: 30 }, (_, day) => ({
      timeMs: FEED_START_MS - (30 - day) * DAY_MS,
      worst: isWell || day < 24 ? 0.2 : 0.5 + (day - 24) * 0.3,
    })),
  };
}

const FAN = standing('air-screen-fan', 'Air-screen fan', BEARING);
const LEG = standing('elevator-1', 'Elevator 1', null);

const MACHINES: MachinesAnswer = {
  machines: [FAN, LEG],
  common: [{ signal: 'motor-current', direction: 'high', level: 0.04, sinceMs: FEED_START_MS - DAY_MS }],
  watchedUntilMs: FEED_START_MS,
  causes: [
    {
      cause: 'bearing-wear',
      name: 'Bearing wears',
      why: 'Worn rolling surfaces shake the housing.',
      check: 'Listen and feel for play with the drive locked out.',
    },
  ],
};

function course(): SignalCourse {
  const at = Array.from({ length: POINTS }, (_, index) => index);
  const load = at.map((index) => 12_500 + 900 * Math.sin(index / 9));
  const drift = at.map((index) => Math.max(0, index - POINTS / 2) / POINTS);
  const expected = load.map((kgPerH) => 0.6 + kgPerH / 24_000);
  return {
    signal: 'vibration',
    unit: 'mm/s',
    residual: 'ratio',
    timeMs: at.map((index) => FEED_START_MS - (POINTS - index) * HOUR_MS),
    load,
    value: expected.map((value, index) => value * (1 + (drift[index] ?? 0) + 0.02 * Math.sin(index * 1.7))),
    expected,
    spread: expected.map(() => 0.03),
    blockTimeMs: at.map((index) => FEED_START_MS - (POINTS - index) * HOUR_MS),
    blockResidual: drift,
  };
}

function pageOf(machine: MachineStanding): MachinePage {
  return {
    standing: machine,
    courses: [course()],
    startUps: [
      {
        startedMs: FEED_START_MS - DAY_MS,
        afterMs: [0, 500, 1000],
        currentA: [120, 60, 18],
        peakA: 120,
        runUpMs: 900,
      },
    ],
    baselines: [],
    entries: [],
    marks: [],
  };
}

/** Answers what the Machines view asks; false where the address is none of these. */
export function answerMachineStudies(pathname: string, response: ServerResponse): boolean {
  const machine = MACHINES.machines.find((one) => pathname === `/api/machines/${one.machine}`);
  if (machine !== undefined) sendJson(response, pageOf(machine));
  else if (pathname === '/api/machines') sendJson(response, MACHINES);
  else return false;
  return true;
}
