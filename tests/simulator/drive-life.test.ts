import { describe, expect, it } from 'vitest';
import { declineReachesS, declineSize, type Decline } from '#simulator/life/decline.ts';
import { driveLife } from '#simulator/life/drive-life.ts';
import { steadyDrive } from '#simulator/life/steady-drive.ts';

const WEAR: Decline = { lever: 'bearing-wear', target: 'Dryer.Fan', beginsS: 1000, lastsS: 2000, bend: 2 };
const USUAL = { crop: 'wheat', throughput: 1, ambientC: 22, mains: 1, levers: [] } as const;

function lived(seed: number, steps: number, declines: readonly Decline[] = []) {
  const life = driveLife({ seed, stepS: 60, declines });
  for (let i = 0; i < steps; i += 1) life.step();
  return life;
}

describe('a decline', () => {
  it('bends as it says: a quarter of its failure at half of its time with a bend of 2, by hand', () => {
    expect(declineSize(WEAR, 1000)).toBe(0);
    expect(declineSize(WEAR, 2000)).toBeCloseTo(0.25, 12);
    expect(declineSize(WEAR, 3000)).toBe(1);
    expect(declineSize(WEAR, 9000)).toBe(1);
  });

  it('reaches a size when it has it, and one beyond its failure never', () => {
    expect(declineReachesS(WEAR, 0.25)).toBeCloseTo(2000, 9);
    expect(declineReachesS(WEAR, 1.1)).toBe(Infinity);
  });
});

describe('the drives alone', () => {
  it('live the same life twice from the same seed, and another from another', () => {
    const [one, same, other] = [lived(5, 2000), lived(5, 2000), lived(6, 2000)];
    expect([...one.values]).toEqual([...same.values]);
    expect([...one.values]).not.toEqual([...other.values]);
  });

  it('stand at night and run most of the day, on more than one crop', () => {
    const life = driveLife({ seed: 2, stepS: 60, declines: [] });
    const crops = new Set<string>();
    let [night, day] = [0, 0];
    for (let minute = 0; minute < 3 * 1440; minute += 1) {
      life.step();
      crops.add(life.crop());
      const hour = (minute / 60) % 24;
      if (hour >= 6.7 && hour < 22) day += Number(life.isOn());
      else if (hour > 22 || hour < 6) night += Number(life.isOn());
    }
    expect(night).toBe(0);
    expect(day / (3 * 15.3 * 60)).toBeGreaterThan(0.75);
    expect(crops.size).toBeGreaterThan(1);
  });

  it('shake the fan whose bearing wears, and no other', () => {
    const at = (life: ReturnType<typeof lived>, node: string) =>
      life.values[life.tags.findIndex((tag) => tag.node === node)] ?? NaN;
    const noon = 12 * 60;
    const [well, worn] = [
      lived(4, noon),
      lived(4, noon, [{ ...WEAR, beginsS: 0, lastsS: noon * 60, bend: 1 }]),
    ];
    expect(at(worn, 'Dryer.FanVibration')).toBeGreaterThan(3 * at(well, 'Dryer.FanVibration'));
    expect(at(worn, 'AirScreen.FanVibration')).toBe(at(well, 'AirScreen.FanVibration'));
  });

  it('settle where the fan laws and the levers put them: a fifth slower belt at a slip of 0.2', () => {
    const well = steadyDrive(USUAL);
    const slipping = steadyDrive({
      ...USUAL,
      levers: [{ kind: 'elevator-slip', target: 'Elevator2', size: 0.2 }],
    });
    const ratio = (slipping.get('Elevator2.BeltSpeed') ?? NaN) / (well.get('Elevator2.BeltSpeed') ?? NaN);
    expect(ratio).toBeCloseTo(0.8, 12);
    expect(slipping.get('Elevator1.BeltSpeed')).toBe(well.get('Elevator1.BeltSpeed'));
  });

  it('load a filter so that its fan takes less at more pressure', () => {
    const [well, loaded] = [0, 0.5].map((size) =>
      steadyDrive({ ...USUAL, levers: [{ kind: 'filter-loading', target: 'DustSystem.Fan', size }] }),
    );
    const of = (values: ReadonlyMap<string, number> | undefined, node: string) => values?.get(node) ?? NaN;
    expect(of(loaded, 'DustSystem.FanMotorCurrent')).toBeLessThan(of(well, 'DustSystem.FanMotorCurrent'));
    expect(of(loaded, 'DustSystem.FanPressure')).toBeGreaterThan(of(well, 'DustSystem.FanPressure'));
    expect(of(loaded, 'DustSystem.FilterPressure')).toBeGreaterThan(
      1.5 * of(well, 'DustSystem.FilterPressure'),
    );
  });
});
