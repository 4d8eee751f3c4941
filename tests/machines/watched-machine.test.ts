import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import { watchedMachines, withDerived } from '#server/machines/watched-machine.ts';

describe('the machines of the demonstration', () => {
  let config: PlantConfig;
  beforeAll(async () => {
    config = await loadConfig(fileURLToPath(new URL('../../config/plant.yaml', import.meta.url)));
  });
  const watched = (isThere: (tag: string) => boolean) =>
    config.machines === null ? [] : watchedMachines(config.machines, isThere);
  const all = () => watched((tag) => config.tags.some(({ id }) => id === tag));

  it('are all 21 motors, the fan of the air-screen by ten signals', () => {
    expect(all().length).toBe(21);
    const fan = all().find(({ plan }) => plan.machine === 'air-screen-fan');
    expect(fan?.plan.signals.map(({ signal }) => signal)).toEqual([
      'motor-current',
      'current-unbalance',
      'motor-speed',
      'winding-temperature',
      'bearing-temperature',
      'vibration',
      'fan-pressure',
      'air-gate',
    ]);
    expect(fan?.runningTag).toBe('a.air-screen.fan-running');
    expect(fan?.influences.get('mains')).toBe('a.intake.mains-voltage');
  });

  it('let a leg slip by its switch’s 20 %, another belt by 8 %', () => {
    const low = (id: string) =>
      all()
        .find(({ plan }) => plan.machine === id)
        ?.plan.signals.find(({ signal }) => signal === 'belt-ratio')?.limits.deviationLow;
    expect(low('elevator-1')).toBe(-0.2);
    expect(low('gravity-table')).toBe(-0.08);
  });

  it('are watched by one current where a plant has no more, and not at all without a run contact', () => {
    const poor = watched((tag) => /running$|motor-current$/.test(tag));
    expect(poor.map(({ plan }) => plan.signals.length)).toEqual(new Array(21).fill(1));
    expect(poor[0]?.influences.size).toBe(0);
    expect(watched((tag) => !tag.endsWith('running'))).toEqual([]);
  });
});

describe('withDerived', () => {
  it('divides the two speeds of a belt, and not by a motor that stands', () => {
    expect(
      withDerived(
        new Map([
          ['driven-speed', 2.4],
          ['motor-speed', 1480],
        ]),
      ).get('belt-ratio'),
    ).toBeCloseTo(0.0016216, 7);
    expect(
      withDerived(
        new Map([
          ['driven-speed', 0],
          ['motor-speed', 0],
        ]),
      ).has('belt-ratio'),
    ).toBe(false);
  });

  it('tells no unbalance of a motor that is off, or of two phases', () => {
    const phases = (a: number, b: number, c: number) =>
      new Map([
        ['motor-current-l1', a],
        ['motor-current-l2', b],
        ['motor-current-l3', c],
      ]);
    expect(withDerived(phases(0, 0, 0)).has('current-unbalance')).toBe(false);
    expect(
      withDerived(
        new Map([
          ['motor-current-l1', 10],
          ['motor-current-l2', 12],
        ]),
      ).has('current-unbalance'),
    ).toBe(false);
    expect(withDerived(phases(11, 10, 9)).get('current-unbalance')).toBeCloseTo(0.1, 12);
  });
});
