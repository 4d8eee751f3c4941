import { describe, expect, it } from 'vitest';
import { learnFleet } from '#server/machines/learn-machine.ts';
import type { CauseRow } from '#server/machines/likely-causes.ts';
import {
  commonShifts,
  NO_MACHINES_YET,
  stepMachines,
  type MachinesState,
} from '#server/machines/step-machines.ts';
import type { ConditionPoint } from '#server/machines/step-point.ts';
import { currentPoints, DAY_MS, FAN, TEN_MINUTES_MS } from './machine-points.ts';

const NAMES = ['a', 'b', 'c', 'd', 'e', 'f'];
const plans = NAMES.map((machine) => ({ ...FAN, machine }));
const HEALTHY = 800;
const causes: readonly CauseRow[] = [
  {
    cause: 'drags',
    kinds: ['fan'],
    shows: { 'motor-current': 'high' },
    supports: {},
    leaves: [],
    why: 'by hand',
  },
];

/** Six machines that were learnt over 800 windows, then watched over `count` more. */
function watched(count: number, more: (machine: string, index: number) => number): MachinesState {
  const healthy = new Map(NAMES.map((name, i) => [name, currentPoints({ seed: i, count: HEALTHY })]));
  const setup = { plans, causes, learnt: learnFleet(healthy, plans) };
  const later = new Map(
    NAMES.map((name, i) => [
      name,
      currentPoints({
        seed: 100 + i,
        count,
        fromMs: HEALTHY * TEN_MINUTES_MS,
        more: (index) => more(name, index),
      }),
    ]),
  );
  let state = NO_MACHINES_YET;
  for (let index = 0; index < count; index += 1) {
    const points = new Map<string, ConditionPoint>();
    for (const [name, own] of later) {
      const point = own[index];
      if (point !== undefined) points.set(name, point);
    }
    state = stepMachines(state, points, setup);
  }
  return state;
}

const found = ({ machines }: MachinesState) =>
  [...machines].flatMap(([machine, { finding }]) => (finding === null ? [] : [machine]));

function findingAt({ machines }: MachinesState, machine: string) {
  const finding = machines.get(machine)?.finding ?? null;
  const [deviation] = finding?.deviations ?? [];
  if (finding === null || deviation === undefined) throw new Error(`nothing was found at ${machine}`);
  return { finding, deviation };
}

describe('stepMachines', () => {
  it('finds nothing on six machines that are well', () => {
    const state = watched(600, () => 0);
    expect(found(state)).toEqual([]);
    expect(commonShifts(state)).toEqual([]);
  });

  it('finds the one machine that takes more and more, says since when, how fast and when it is due', () => {
    // Truly 0.1 % a point of ten minutes from the 100th on: 14.4 % a day, at its limit of 20 % after 300 points.
    const state = watched(260, (machine, index) => (machine === 'c' ? Math.max(0, index - 100) * 0.001 : 0));
    expect(found(state)).toEqual(['c']);
    const { finding, deviation } = findingAt(state, 'c');
    expect(deviation).toMatchObject({
      signal: 'motor-current',
      direction: 'high',
      course: 'creep',
      limit: 0.2,
    });
    expect(Math.abs((deviation.slopePerDay?.middle ?? 0) - 0.144)).toBeLessThan(0.03);
    const beganMs = (HEALTHY + 100) * TEN_MINUTES_MS;
    expect(Math.abs(finding.sinceMs - beganMs)).toBeLessThan(DAY_MS / 2);
    const dueMs = (HEALTHY + 300) * TEN_MINUTES_MS;
    expect(finding.due?.earliestMs).toBeLessThan(dueMs);
    expect(finding.due?.latestMs).toBeGreaterThan(dueMs);
    expect(finding.causes.map(({ cause, certainty }) => [cause, certainty])).toEqual([['drags', 'possible']]);
  });

  it('calls a jump a step and forecasts nothing from it', () => {
    const state = watched(400, (machine, index) => (machine === 'c' && index > 150 ? 0.1 : 0));
    expect(state.machines.get('c')?.finding?.deviations[0]).toMatchObject({ course: 'step', due: null });
  });

  it('blames what all machines show together on none of them, and tells it as common', () => {
    const state = watched(400, (_, index) => (index > 100 ? 0.06 : 0));
    expect(found(state)).toEqual([]);
    expect(commonShifts(state)).toMatchObject([{ signal: 'motor-current', direction: 'high' }]);
  });

  it('still finds the one that deviates beyond what is common', () => {
    const state = watched(
      400,
      (machine, index) => (index > 100 ? 0.06 : 0) + (machine === 'e' && index > 150 ? 0.1 : 0),
    );
    expect(found(state)).toEqual(['e']);
  });

  it('ends a finding when the machine is well again', () => {
    const wornFor200 = (index: number) => (index > 100 && index < 300 ? 0.1 : 0);
    expect(found(watched(290, (machine, index) => (machine === 'b' ? wornFor200(index) : 0)))).toEqual(['b']);
    expect(found(watched(600, (machine, index) => (machine === 'b' ? wornFor200(index) : 0)))).toEqual([]);
  });
});
