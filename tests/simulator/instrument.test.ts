import { describe, expect, it } from 'vitest';
import { catalogue } from '#simulator/catalogue.ts';
import { instrument, type InstrumentFaults } from '#simulator/instruments/instrument.ts';
import { totalOf } from '#simulator/instruments/totaliser.ts';
import { simulatedPlant } from '#simulator/simulated-plant.ts';
import type { TagEntry } from '#simulator/tags/tag-entry.ts';

const WELL: InstrumentFaults = { span: 0, zero: 0, frozen: 0, badStatus: 0 };

function entryOf(node: string): TagEntry {
  const entry = catalogue('full').find((tag) => tag.node === node);
  if (entry === undefined) throw new Error(`no tag ${node}`);
  return entry;
}

const at = (node: string) => instrument({ entry: entryOf(node), seed: 5, stepS: 1 });

function shownAfter(node: string, steps: number, faults = WELL): number {
  const meter = at(node);
  meter.read(0, WELL);
  let shown = 0;
  for (let i = 0; i < steps; i += 1) shown = meter.read(1000, faults);
  return shown;
}

describe('instrument', () => {
  it('follows a step with its damping: 63 % after one time constant of 5 s, by hand', () => {
    expect(shownAfter('GravityTable.LightsFlow', 5)).toBeGreaterThan(600);
    expect(shownAfter('GravityTable.LightsFlow', 5)).toBeLessThan(665);
    expect(shownAfter('GravityTable.LightsFlow', 60)).toBeGreaterThan(970);
  });

  it('sees nothing of a moisture before its sample has come through', () => {
    const meter = at('Intake.Moisture');
    for (let i = 0; i < 20; i += 1) meter.read(12, WELL);
    const before = meter.indicated();
    for (let i = 0; i < 8; i += 1) meter.read(15, WELL);
    expect(meter.indicated()).toBeCloseTo(before, 9);
    for (let i = 0; i < 60; i += 1) meter.read(15, WELL);
    expect(meter.indicated()).toBeGreaterThan(14.5);
  });

  it('shows span and zero errors as such', () => {
    const well = shownAfter('Clean.MassFlow', 60);
    expect(shownAfter('Clean.MassFlow', 60, { ...WELL, span: 0.02 }) / well).toBeCloseTo(1.02, 2);
    expect(shownAfter('Clean.MassFlow', 60, { ...WELL, zero: 75 }) - well).toBeCloseTo(75, -1);
  });

  it('stands still with good status when it is frozen, and says so when it is bad', () => {
    const meter = at('Elevator1.MotorCurrent');
    const before = meter.read(10, WELL);
    expect(meter.read(14, { ...WELL, frozen: 1 })).toBe(before);
    expect(meter.quality()).toBe(0);
    meter.read(14, { ...WELL, badStatus: 2 });
    expect(meter.quality()).toBe(2);
  });

  it('shows a plain zero when nothing flows', () => {
    const meter = at('Intake.MassFlow');
    meter.read(13_000, WELL);
    let shown = Number.NaN;
    for (let i = 0; i < 60; i += 1) shown = meter.read(0, WELL);
    expect(shown).toBe(0);
  });

  it('is unsure of itself now and then: about once in 120 hours, for some seconds', () => {
    const meter = at('Clean.MassFlow');
    let unsure = 0;
    for (let second = 0; second < 2_000_000; second += 1) {
      meter.read(1000, WELL);
      if (meter.quality() === 1) unsure += 1;
    }
    expect(unsure / 4).toBeGreaterThan(1);
    expect(unsure / 4).toBeLessThan(12);
  });
});

describe('a totaliser', () => {
  it('adds what its scale indicates and rolls over to 0 at a million kilograms, as a counter does', () => {
    const { plant } = simulatedPlant({ seed: 1, settleMs: 0 });
    const scale = { read: () => 0, quality: () => 0 as const, indicated: () => 3600 * 100_000 };
    const total = totalOf('Intake.MassTotal', {
      plant,
      stepS: 1,
      scales: new Map([['Intake.MassFlow', scale]]),
    });
    const shown = Array.from({ length: 6 }, () => total?.() ?? Number.NaN);
    expect(shown.map((kg) => Math.round(kg))).toEqual([505_380, 605_380, 705_380, 805_380, 905_380, 5380]);
  });
});
