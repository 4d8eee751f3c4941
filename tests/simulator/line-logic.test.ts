import { describe, expect, it } from 'vitest';
import {
  advanceLogic,
  blockAll,
  blockDrive,
  createLineLogic,
  isDriveOn,
  takeChanges,
  unblockDrive,
} from '#simulator/logic/line-logic.ts';
import {
  CLEANING,
  contactNodeOf,
  DROP_OUT_MS,
  DROP_OUT_SCATTER_MS,
  TREATING,
  type OnRoute,
} from '#simulator/logic/sequence.ts';

const everywhere = () => true;
const withoutLengthGrader = (machine: string) => machine !== 'LengthGrader';

function stopsAfter(first: string, isOnRoute: OnRoute) {
  const logic = createLineLogic({ seed: 7, isOnRoute, restartAfterMs: 1000 });
  blockDrive(logic, { drive: first, reason: 'test', atMs: 1234 });
  advanceLogic(logic, 60_000);
  return takeChanges(logic).filter((change) => !change.node.includes('Pump'));
}

describe('lineLogic', () => {
  it.each(
    [CLEANING, TREATING].flatMap((train) => train.map((machine, i) => [machine, train.slice(0, i)] as const)),
  )('stops what feeds %s, nearest first, each within its own drop-out time', (first, feeders) => {
    const stops = stopsAfter(first, everywhere);
    const order = [first, ...feeders.toReversed()];
    expect(stops.map((stop) => stop.node)).toEqual(order.map(contactNodeOf));
    stops.slice(1).forEach((stop, i) => {
      const gapMs = stop.timeMs - (stops[i]?.timeMs ?? 0);
      const designedMs = DROP_OUT_MS[order[i + 1] ?? ''] ?? 0;
      expect(gapMs).toBeGreaterThanOrEqual(designedMs - 1);
      expect(gapMs).toBeLessThanOrEqual(designedMs + DROP_OUT_SCATTER_MS + 1);
    });
  });

  it('leaves a machine that the lot goes past out of the cascade', () => {
    const nodes = stopsAfter('Sizer', withoutLengthGrader).map((stop) => stop.node);
    expect(nodes.slice(0, 2)).toEqual(['Sizer.Running', 'Aspirator.Running']);
    expect(nodes).not.toContain('LengthGrader.Running');
  });

  it('starts the line again from below upwards once the cause has gone, intake last', () => {
    const logic = createLineLogic({ seed: 7, isOnRoute: withoutLengthGrader, restartAfterMs: 1000 });
    blockDrive(logic, { drive: 'Destoner', reason: 'test', atMs: 0 });
    unblockDrive(logic, { drive: 'Destoner', reason: 'test', atMs: 20_000 });
    advanceLogic(logic, 120_000);
    const starts = takeChanges(logic).filter((change) => change.value);
    const expected = [...CLEANING].reverse().filter((machine) => machine !== 'LengthGrader');
    expect(starts.map((start) => start.node)).toEqual(expected.slice(1).map(contactNodeOf));
    expect(starts[0]?.timeMs).toBe(21_000);
  });

  it('stops every drive within 80 ms of an emergency stop, fans too', () => {
    const logic = createLineLogic({ seed: 7, isOnRoute: withoutLengthGrader, restartAfterMs: 1000 });
    blockAll(logic, 'emergency stop', 5000);
    advanceLogic(logic, 10_000);
    const stops = takeChanges(logic);
    expect(stops.map((stop) => stop.node)).toContain('GravityTable.FanRunning');
    expect(Math.max(...stops.map((stop) => stop.timeMs))).toBeLessThanOrEqual(5080);
    expect(isDriveOn(logic, 'Dryer.Fan')).toBe(false);
  });
});
