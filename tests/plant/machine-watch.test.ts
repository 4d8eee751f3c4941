import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openMachineWatch, type RunningMachineWatch } from '#server/condition/machine-watch.ts';
import type { MachineSettings } from '#server/contract/machine-settings.ts';
import type { LearnMachine } from '#server/contract/machine-standing.ts';
import { STORED_STATUS } from '#server/contract/stored-status.ts';
import type { Clock } from '#server/ports/clock.ts';
import type { RecordStore } from '#server/ports/record-store.ts';
import type { SampleStore, SeriesId } from '#server/ports/sample-store.ts';
import { randomStream } from '#simulator/physics/random.ts';
import { eventuallyResolves } from '#tests/support/eventually.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const START_MS = Date.UTC(2026, 8, 14);
const HEALTHY_H = 9;
const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

const SETTINGS: MachineSettings = {
  influences: [{ line: 'a', load: 'intake.mass-flow' }],
  signals: [
    {
      signal: 'motor-current',
      unit: 'A',
      residual: 'ratio',
      explainedBy: ['load'],
      settleMinutes: 10,
      smallest: 0.03,
      isShared: false,
      limits: { deviationHigh: 0.2 },
      source: 'by hand',
    },
  ],
  kinds: {
    drive: { running: 'running', signals: { 'motor-current': 'motor-current', 'run-hours': 'run-hours' } },
  },
  machines: [
    {
      id: 'leg',
      name: 'Leg',
      line: 'a',
      machine: 'elevator-1',
      kind: 'drive',
      ratedCurrentA: 12,
      service: [{ task: 'grease', everyRunHours: 20 }],
    },
  ],
  causes: [
    {
      cause: 'drags',
      name: 'It drags',
      kinds: ['drive'],
      shows: { 'motor-current': 'high' },
      why: 'more current for the same seed',
      check: 'look at the belt',
    },
  ],
};

const TAGS = [
  'a.elevator-1.running',
  'a.elevator-1.motor-current',
  'a.intake.mass-flow',
  'a.elevator-1.run-hours',
] as const;

/** A clock that is moved by hand; what is to be done every minute is done when it is asked for. */
function handClock(): Clock & { nowMs: () => number; move(toMs: number): void } {
  let nowMs = START_MS;
  const every: (() => void)[] = [];
  return {
    nowMs: () => nowMs,
    every(_, work) {
      every.push(work);
      return () => undefined;
    },
    move(toMs) {
      nowMs = toMs;
      for (const work of every) work();
    },
  };
}

/** One sample every two minutes: a leg that takes 5 A and 0.5 A a t/h, and from an hour on a share more. */
async function record(
  store: SampleStore,
  series: ReadonlyMap<string, SeriesId>,
  more: (hour: number) => number,
) {
  const random = randomStream(9, 'watch');
  const rows = Array.from({ length: 12 * 60 }, (_, index) => {
    const minute = 2 * index;
    const load = 11 + 2 * Math.sin(minute / 40);
    const current = (5 + 0.5 * load) * (1 + more(minute / 60) + 0.003 * random.normal());
    return [1, current, load, 500 + minute / 60].map((value, i) => ({
      tag: TAGS[i] ?? '',
      timeMs: START_MS + minute * MINUTE_MS,
      value,
    }));
  }).flat();
  await store.append({
    writer: 'test',
    sequence: 0,
    series: Uint32Array.from(rows, ({ tag }) => series.get(tag) ?? 0),
    timeMs: Float64Array.from(rows, ({ timeMs }) => timeMs),
    value: Float64Array.from(rows, ({ value }) => value),
    status: new Uint8Array(rows.length).fill(STORED_STATUS.good),
    reason: new Uint8Array(rows.length),
  });
}

describe('the watch of the machines', () => {
  let samples: SampleStore;
  let records: RecordStore;
  let clock: ReturnType<typeof handClock>;
  let watch: RunningMachineWatch;
  let series: ReadonlyMap<string, SeriesId>;
  const logged: string[] = [];

  const open = () =>
    openMachineWatch({
      settings: SETTINGS,
      samples,
      records,
      clock,
      seriesOf: (tag) => series.get(tag),
      defaultGroup: new Map([['a', 'wheat']]),
      log: (text) => logged.push(text),
    });

  beforeEach(async () => {
    samples = memorySampleStore();
    records = memoryRecordStore();
    clock = handClock();
    series = await samples.register(
      TAGS.map((name) => ({
        name,
        kind: 'tag' as const,
        unit: name.endsWith('running') ? ('state' as const) : ('A' as const),
        interpolation: name.endsWith('running') ? ('step' as const) : ('linear' as const),
        resolution: 0,
        heldMs: 5 * MINUTE_MS,
      })),
      0,
    );
    await record(samples, series, (hour) => (hour < HEALTHY_H + 4 ? 0 : 0.1));
    watch = await open();
  });
  afterEach(async () => {
    await watch.stop();
  });

  const learn = (changes: Partial<LearnMachine> = {}) =>
    watch.learn(
      {
        kind: 'learn-machine',
        line: 'a',
        machine: 'leg',
        fromMs: START_MS,
        toMs: START_MS + HEALTHY_H * HOUR_MS,
        reason: 'first day after the overhaul',
        ...changes,
      },
      { actor: { id: 'Mia', role: 'maintenance' }, timeMs: clock.nowMs() },
    );

  const watchedUntil = async (hour: number) => {
    clock.move(START_MS + hour * HOUR_MS + 3 * MINUTE_MS);
    await eventuallyResolves(`watched until hour ${hour}`, async () => {
      expect((await watch.standing()).watchedUntilMs).toBe(START_MS + hour * HOUR_MS);
    });
  };

  it('learns nothing by itself, and says so', async () => {
    await watchedUntil(6);
    const { machines, common } = await watch.standing();
    expect(machines).toMatchObject([{ machine: 'leg', regime: 'running', baseline: null, finding: null }]);
    expect(machines[0]?.signals[0]?.value).toBeGreaterThan(9);
    expect(common).toEqual([]);
    expect(await records.baselines(ALL)).toEqual([]);
  });

  it('learns when a person says what was healthy, finds what comes after, and keeps both', async () => {
    clock.move(START_MS + HEALTHY_H * HOUR_MS + 3 * MINUTE_MS);
    const baseline = await learn();
    expect(await records.baselines(ALL)).toEqual([baseline]);
    await watchedUntil(23);
    const [leg] = (await watch.standing()).machines;
    expect(leg?.baseline?.version).toBe(baseline.id);
    expect(leg?.finding?.deviations).toMatchObject([{ signal: 'motor-current', direction: 'high' }]);
    expect(leg?.finding?.causes).toMatchObject([{ cause: 'drags', certainty: 'possible' }]);
    const entries = await records.findings(ALL);
    expect(entries[0]).toMatchObject({ machine: 'leg', what: 'opened', writtenBy: { id: 'server' } });
    expect(logged).toEqual([]);
  });

  it('takes what was found for over when the machine is learnt anew, and says who said so', async () => {
    clock.move(START_MS + HEALTHY_H * HOUR_MS + 3 * MINUTE_MS);
    await learn();
    await watchedUntil(23);
    const again = await learn({
      fromMs: START_MS + 13 * HOUR_MS,
      toMs: START_MS + 22 * HOUR_MS,
      reason: 'new belt',
    });
    expect(again).toMatchObject({ reason: 'new belt', writtenBy: { id: 'Mia' } });
    expect((await records.findings(ALL)).at(-1)).toMatchObject({ what: 'closed', finding: null });
    expect((await watch.standing()).machines[0]).toMatchObject({
      finding: null,
      baseline: { version: again.id },
    });
  });

  it('stands as before after a restart, and writes nothing twice', async () => {
    clock.move(START_MS + HEALTHY_H * HOUR_MS + 3 * MINUTE_MS);
    await learn();
    await watchedUntil(23);
    const before = await records.findings(ALL);
    await watch.stop();
    watch = await open();
    await watchedUntil(23);
    expect((await watch.standing()).machines[0]?.finding?.deviations[0]?.signal).toBe('motor-current');
    expect(await records.findings(ALL)).toEqual(before);
  });

  it('gives one machine’s past: its points, its versions, what was found', async () => {
    clock.move(START_MS + HEALTHY_H * HOUR_MS + 3 * MINUTE_MS);
    const baseline = await learn();
    await watchedUntil(23);
    const page = await watch.page('leg', { fromMs: START_MS, toMs: START_MS + 24 * HOUR_MS });
    expect(page?.baselines).toEqual([baseline]);
    expect(page?.courses[0]?.value.length).toBeGreaterThan(60);
    expect(page?.entries[0]?.what).toBe('opened');
    expect(await watch.page('no-such', { fromMs: 0, toMs: 1 })).toBeNull();
  });

  it('counts a service from the repair that somebody noted, and warms a replica of the motor', async () => {
    const check = async (name: string) =>
      (await watch.standing()).machines[0]?.checks.find((own) => own.check === name);
    await watchedUntil(12);
    // Counted since ever: 512 hours are long past 20.
    expect(await check('service-hours')).toMatchObject({ verdict: 'act', detail: 'grease' });
    const repair = {
      line: 'a',
      machine: 'leg',
      kind: 'repair',
      timeMs: START_MS + 5 * HOUR_MS,
      text: 'greased',
    } as const;
    await records.writeMark(repair, { actor: { id: 'Mia', role: 'maintenance' }, timeMs: clock.nowMs() });
    await watchedUntil(23);
    await watchedUntil(23.5);
    expect((await check('service-hours'))?.value).toBeCloseTo(18.4, 0);
    expect(await check('service-hours')).toMatchObject({ verdict: 'watch' });
    // About 11.5 A of 12 A for hours: (11.5 / (1.05 * 12))^2 = 0.83, a tenth more since the leg drags.
    expect((await check('thermal-warmth'))?.value).toBeGreaterThan(0.7);
    expect((await check('thermal-warmth'))?.value).toBeLessThan(1.1);
  });

  it.each([
    [
      'a machine that is not there',
      { machine: 'pump' },
      'learn-machine machine: got pump, expected one of leg',
    ],
    [
      'a period that ends before it begins',
      { toMs: START_MS - HOUR_MS },
      'learn-machine period [d]: got -0.04',
    ],
    [
      'a period with too little running',
      { toMs: START_MS + HOUR_MS },
      'learn-machine leg running: got too little of it',
    ],
  ] as const)('refuses to learn from %s', async (_, changes, told) => {
    clock.move(START_MS + HEALTHY_H * HOUR_MS);
    await expect(learn(changes)).rejects.toThrow(`COMMAND_REFUSED ${told}`);
    expect(await records.baselines(ALL)).toEqual([]);
  });
});
