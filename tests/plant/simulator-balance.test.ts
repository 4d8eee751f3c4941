import { describe, expect, it } from 'vitest';
import type { CropName } from '#simulator/physics/crops/crop.ts';
import { RUN_MODES, type RunMode } from '#simulator/routes.ts';
import { simulatedPlant, stepOnce, type SimulatedPlant } from '#simulator/simulated-plant.ts';
import { balanceOf } from '#simulator/truth/balance.ts';
import { readUpsets } from '#simulator/upsets/upset-file.ts';
import { SEED } from '#tests/support/seed.ts';

const HOURS_8 = 8 * 3600;

function expectClosed(sim: SimulatedPlant): void {
  const { fedKg, missingKg, missingOfComponentKg } = balanceOf(sim.plant);
  expect(fedKg).toBeGreaterThan(1000);
  expect(Math.abs(missingKg) / fedKg).toBeLessThan(1e-9);
  for (const missing of missingOfComponentKg) expect(Math.abs(missing) / fedKg).toBeLessThan(1e-9);
}

/** All upsets, one after the other, over the whole run. */
function everyUpset() {
  const upsets = [...readUpsets().values()];
  return upsets.map((upset, i) => ({ upset, atMs: (i * HOURS_8 * 900) / upsets.length }));
}

describe('mass', () => {
  it(`of every component closes to 1e-9 of the feed over 8 h (seed ${SEED})`, () => {
    const sim = simulatedPlant({ seed: SEED, settleMs: 60_000 });
    for (let second = 0; second < HOURS_8; second += 1) stepOnce(sim);
    expectClosed(sim);
  });

  it.each([SEED, SEED + 101])('closes as well while everything goes wrong in turn (seed %d)', (seed) => {
    const sim = simulatedPlant({ seed, crop: 'wheat', settleMs: 60_000, upsets: everyUpset() });
    for (let second = 0; second < HOURS_8; second += 1) stepOnce(sim);
    expectClosed(sim);
  });

  it.each(
    RUN_MODES.flatMap((run): readonly (readonly [RunMode, CropName])[] => [
      [run, 'soybean'],
      [run, 'corn'],
    ]),
  )('closes in a %s run of %s with all machines on the route', (run, crop) => {
    const sim = simulatedPlant({ seed: SEED, crop, run, bypassed: [], settleMs: 0 });
    for (let second = 0; second < 3600; second += 1) stepOnce(sim);
    expectClosed(sim);
  });
});

describe('a treating run', () => {
  it('treats and bags what the clean bin holds, and takes nothing in', () => {
    const sim = simulatedPlant({ seed: SEED, run: 'treating', settleMs: 0 });
    const before = sim.plant.treating.cleanBin.contentsKg();
    for (let second = 0; second < 1800; second += 1) stepOnce(sim);
    expect(before).toBeGreaterThan(9000);
    expect(sim.plant.treating.cleanBin.contentsKg()).toBeLessThan(before - 4000);
    expect(sim.plant.bagger.bags).toBeGreaterThan(150);
    expect(sim.plant.flow.feedKg).toBe(0);
  });
});

describe('a cleaning run', () => {
  it('fills the clean bin until its high level stops the gravity table and all that feeds it', () => {
    const sim = simulatedPlant({ seed: SEED, run: 'cleaning', settleMs: 0 });
    for (let second = 0; second < 5400; second += 1) stepOnce(sim);
    const value = (node: string) => sim.channels.values[sim.tagOf.get(node) ?? -1];
    expect(value('CleanBin.HighLevel')).toBe(1);
    expect(value('GravityTable.Running')).toBe(0);
    expect(value('Intake.Running')).toBe(0);
    expect(value('Treater.Running')).toBe(0);
    expect(value('CleanBin.Level')).toBeGreaterThan(10_500);
    expect(sim.plant.bagger.bags).toBe(0);
  });
});
