import { beforeAll, describe, expect, it } from 'vitest';
import { MachineKeeper, type FindingNews } from '#server/condition/machine-keeper.ts';
import { machineStandings, signalCourses } from '#server/condition/machine-standings.ts';
import type { RecordedStretch } from '#server/condition/recorded-stretch.ts';
import type { MachineBaseline } from '#server/contract/machine-records.ts';
import { DAY_MS, demoCondition, LIFE_START_MS, lifeStretches, type DemoCondition } from './life-stretches.ts';

const HEALTHY_DAYS = 5;
const WORN = 'dryer-fan';
/** As few as still have something in common. */
const WATCHED = [WORN, 'elevator-1', 'scalper', 'sizer', 'dust-fan'];

function keeperOf({ machines, settings }: DemoCondition): MachineKeeper {
  return new MachineKeeper(machines, settings);
}

describe('the keeper of machines, over five days of health and five in which a bearing wears out', () => {
  let demo: DemoCondition;
  let life: readonly RecordedStretch[];
  let keeper: MachineKeeper;
  let news: readonly FindingNews[];

  beforeAll(async () => {
    const all = await demoCondition();
    demo = { ...all, machines: all.machines.filter(({ plan }) => WATCHED.includes(plan.machine)) };
    life = lifeStretches(demo, {
      seed: 3,
      days: HEALTHY_DAYS + 5,
      declines: [
        {
          lever: 'bearing-wear',
          target: 'Dryer.Fan',
          beginsS: HEALTHY_DAYS * 86_400,
          lastsS: 8 * 86_400,
          bend: 1,
        },
      ],
    });
    keeper = keeperOf(demo);
    const baselines: MachineBaseline[] = [];
    for (const machine of [WORN, 'elevator-1']) {
      for (const [day, stretch] of life.slice(0, HEALTHY_DAYS).entries()) keeper.gather(stretch, day === 0);
      baselines.push(baselineOf(machine, keeper));
    }
    for (const baseline of baselines) keeper.use(baseline);
    news = life.slice(HEALTHY_DAYS).flatMap((stretch) => keeper.take(stretch));
  });

  function baselineOf(machine: string, from: MachineKeeper): MachineBaseline {
    return {
      id: machine.length,
      writtenBy: { id: 'Mia', role: 'maintenance' },
      writtenMs: 0,
      line: 'a',
      machine,
      timeMs: LIFE_START_MS + HEALTHY_DAYS * DAY_MS,
      fromMs: LIFE_START_MS,
      toMs: LIFE_START_MS + HEALTHY_DAYS * DAY_MS,
      reason: 'after the overhaul',
      // As it comes back from the records.
      signals: JSON.parse(JSON.stringify(from.learn(machine))) as MachineBaseline['signals'],
    };
  }

  it('finds the fan that wears, and no other machine', () => {
    expect(new Set(news.map(({ machine }) => machine))).toEqual(new Set([WORN]));
    expect(news[0]).toMatchObject({ machine: WORN, what: 'opened' });
    const cause = news.at(-1)?.finding?.causes[0];
    expect(cause).toMatchObject({ cause: 'bearing-wear', certainty: 'likely' });
  });

  it('tells of a finding once, and again only when it says something else', () => {
    expect(news.filter(({ what }) => what === 'opened').length).toBe(1);
    expect(news.length).toBeLessThan(15);
  });

  it('puts the fan that wears first, and says nothing of what it has not learnt', () => {
    const standings = machineStandings(keeper, demo.settings);
    expect(standings[0]?.machine).toBe(WORN);
    expect(standings[0]?.concern).toBeGreaterThan(1);
    expect(standings.length).toBe(demo.machines.length);
    const unlearnt = standings.find(({ machine }) => machine === 'scalper');
    expect(unlearnt).toMatchObject({ baseline: null, finding: null, concern: 0 });
    expect(unlearnt?.signals.every(({ level }) => level === null)).toBe(true);
  });

  it('gives the points of a signal beside what was expected at that load', () => {
    const kept = keeper.machines().find(({ machine }) => machine.plan.machine === 'elevator-1');
    if (kept === undefined) throw new Error('there is no elevator 1');
    const at = { settings: demo.settings, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
    const course = signalCourses(kept, keeper.state().machines.get('elevator-1'), at)[0];
    const misses = (course?.value ?? []).map((value, i) =>
      Math.abs(value / (course?.expected[i] ?? NaN) - 1),
    );
    expect(course?.signal).toBe('motor-current');
    expect(misses.length).toBeGreaterThan(200);
    expect(misses.sort((a, b) => a - b)[Math.floor(misses.length / 2)]).toBeLessThan(0.02);
    expect(course?.blockResidual.length).toBeGreaterThan(20);
  });

  it('ends what it found when the machine is learnt anew', () => {
    for (const [day, stretch] of life.slice(0, HEALTHY_DAYS).entries()) keeper.gather(stretch, day === 0);
    keeper.use({ ...baselineOf(WORN, keeper), timeMs: LIFE_START_MS + 20 * DAY_MS });
    expect(
      machineStandings(keeper, demo.settings).find(({ machine }) => machine === WORN)?.finding,
    ).toBeNull();
  });
});
