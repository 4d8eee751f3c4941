import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ductResistance, fanPoint } from '#simulator/physics/fan.ts';

describe('fanPoint', () => {
  it('is at its design point at full speed on its own duct', () => {
    expect(fanPoint({ speed: 1, resistance: 1 })).toEqual({ flow: 1, pressure: 1, power: 1 });
  });

  it('needs 12.77789 bhp at 20 000 cfm when it needs 6.3 at 15 800 (C5, fan calculator guide)', () => {
    const { flow, power } = fanPoint({ speed: 20_000 / 15_800, resistance: 1 });
    expect(flow * 15_800).toBeCloseTo(20_000, 6);
    expect(power * 6.3).toBeCloseTo(12.77789, 4);
  });

  it('needs 33.1 % more power for 10 % more flow (C7)', () => {
    expect(fanPoint({ speed: 1.1, resistance: 1 }).power).toBeCloseTo(1.331, 12);
  });

  it('follows the fan laws on any one duct: flow with N, pressure with N^2, power with N^3', () => {
    const speed = fc.double({ min: 0.2, max: 1.5, noNaN: true });
    const resistance = fc.double({ min: 0.3, max: 6, noNaN: true });
    fc.assert(
      fc.property(speed, resistance, (n, r) => {
        const [at, full] = [fanPoint({ speed: n, resistance: r }), fanPoint({ speed: 1, resistance: r })];
        expect(at.flow / full.flow).toBeCloseTo(n, 10);
        expect(at.pressure / full.pressure).toBeCloseTo(n ** 2, 10);
        expect(at.power / full.power).toBeCloseTo(n ** 3, 10);
      }),
    );
  });

  it('moves less air at more pressure as its filter loads: the law no longer holds, which is how it is found', () => {
    const resistance = ductResistance({ percent: 100, setPercent: 100 }, 0.8);
    const loaded = fanPoint({ speed: 1, resistance });
    expect(resistance).toBeGreaterThan(1.5);
    expect(loaded.flow).toBeLessThan(0.85);
    expect(loaded.pressure).toBeGreaterThan(1);
  });

  it('moves more air through a gate that opens', () => {
    const open = fanPoint({ speed: 1, resistance: ductResistance({ percent: 75, setPercent: 60 }, 0) });
    expect(open.flow).toBeGreaterThan(1.05);
  });
});
