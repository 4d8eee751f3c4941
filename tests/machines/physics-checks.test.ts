import { describe, expect, it } from 'vitest';
import { thermalReplica } from '#server/calc/condition/thermal-replica.ts';
import { amperes, celsius, milliseconds, millimetresPerSecond, ratio } from '#server/calc/units.ts';
import {
  beltSlipCheck,
  checksNow,
  currentUnbalanceCheck,
  fanLawCheck,
  legSpeedCheck,
  serviceChecks,
  vibrationCheck,
  voltageUnbalanceCheck,
  warmthCheck,
  windingCheck,
} from '#server/machines/physics-checks.ts';
import { withDerived } from '#server/machines/watched-machine.ts';

describe('the checks of known physics', () => {
  it.each([
    [1.3, 'A', 'good'],
    [2.0, 'B', 'good'],
    [3.0, 'C', 'watch'],
    [5.0, 'D', 'act'],
  ])(
    'put %d mm/s in zone %s of group 2 on rigid support: %s (ISO 10816-3, check C13)',
    (velocity, zone, verdict) => {
      expect(vibrationCheck(millimetresPerSecond(velocity), 'group-2-rigid')).toMatchObject({
        detail: zone,
        verdict,
      });
    },
  );

  it('derive an unbalance of 1.9608 % from 460, 467 and 450 (NEMA MG-1, check C1)', () => {
    const values = withDerived(
      new Map([
        ['motor-current-l1', 460],
        ['motor-current-l2', 467],
        ['motor-current-l3', 450],
      ]),
    );
    expect(values.get('current-unbalance')).toBeCloseTo(0.019608, 6);
  });

  it('derate a motor to 0.95 at a voltage unbalance of 2 % and forbid it above 5 % (NEMA MG-1)', () => {
    expect(voltageUnbalanceCheck(ratio(0.02))).toMatchObject({ verdict: 'watch', detail: 'derated to 0.95' });
    expect(voltageUnbalanceCheck(ratio(0.051))).toMatchObject({ verdict: 'act', detail: 'must not run' });
    expect(voltageUnbalanceCheck(ratio(0.009)).verdict).toBe('good');
  });

  it('watch a current unbalance from 6 % and act from 30 %: six times that of the voltages', () => {
    expect(currentUnbalanceCheck(ratio(0.059)).verdict).toBe('good');
    expect(currentUnbalanceCheck(ratio(0.06)).verdict).toBe('watch');
    expect(currentUnbalanceCheck(ratio(0.3)).verdict).toBe('act');
  });

  it('find a slip of 2.014 % in 1083 of 1105.26 turns, which is still usual (check C11)', () => {
    const check = beltSlipCheck(ratio(1083 / 1750), ratio(1105.263_157_894_7 / 1750));
    expect(check.value).toBeCloseTo(0.02014, 5);
    expect(check.verdict).toBe('good');
    expect(beltSlipCheck(ratio(0.9), ratio(1)).verdict).toBe('act');
  });

  it('warn of a leg at 35 of 42 r/min and call its trip due at 33.6 (29 CFR 1910.272(q), check C12)', () => {
    expect(legSpeedCheck(35, 42)).toMatchObject({ verdict: 'watch', detail: 'slow' });
    expect(legSpeedCheck(33.6, 42)).toMatchObject({ verdict: 'act', detail: 'trip-due' });
    expect(legSpeedCheck(41, 42).verdict).toBe('good');
  });

  it('leave alone a fan whose pressure follows speed squared and density (fan laws, check C7: 10 % more, 21 %)', () => {
    const healthy = { pressure: 1000, speed: 1450, density: 1 };
    const faster = { pressure: 1210 * 0.95, speed: 1595, density: 0.95 };
    expect(fanLawCheck(faster, healthy).value).toBeCloseTo(0, 12);
    expect(fanLawCheck({ ...faster, pressure: 0.7 * faster.pressure }, healthy).verdict).toBe('act');
  });

  it('watch a motor whose replica is nearly as warm as its relay bears (IEC 60255-149, check C8)', () => {
    const design = {
      ratedCurrent: amperes(10),
      overloadFactor: 1.05,
      heatingTime: milliseconds(600_000),
      coolingTime: milliseconds(2_400_000),
    };
    const warmth = (minutes: number) =>
      thermalReplica(ratio(0), { current: amperes(15), time: milliseconds(minutes * 60_000) }, design);
    expect(warmthCheck(warmth(5)).verdict).toBe('good');
    expect(warmthCheck(warmth(6.5)).verdict).toBe('watch');
    expect(warmthCheck(warmth(6.734)).verdict).toBe('act');
  });

  it('watch the last ten degrees of class F, which ends at 155 degC (IEC 60085, from memory)', () => {
    expect(windingCheck(celsius(144), 'F').verdict).toBe('good');
    expect(windingCheck(celsius(145), 'F').verdict).toBe('watch');
    expect(windingCheck(celsius(155), 'F').verdict).toBe('act');
  });

  it('say which service is due, by hours and by starts', () => {
    const service = { task: 'grease', everyRunHours: 2000, everyStarts: 500 };
    const checks = serviceChecks(service, { runHours: 1900, starts: 500 });
    expect(checks.map(({ check, verdict }) => [check, verdict])).toEqual([
      ['service-hours', 'watch'],
      ['service-starts', 'act'],
    ]);
    expect(serviceChecks({ task: 'grease' }, { runHours: 9e9, starts: 9e9 })).toEqual([]);
  });

  it('are made only of what is measured', () => {
    const machine = {
      insulation: 'F',
      vibrationGroup: 'class-I',
      healthyBeltRatio: 0.33,
      isLeg: false,
    } as const;
    const all = new Map([
      ['vibration', 1],
      ['winding-temperature', 60],
      ['belt-ratio', 0.33],
    ]);
    expect(checksNow({ ...machine, values: all }).map(({ check }) => check)).toEqual([
      'vibration-zone',
      'winding-margin',
      'belt-slip',
    ]);
    expect(checksNow({ ...machine, values: new Map() })).toEqual([]);
    expect(checksNow({ ...machine, values: all, isLeg: true }).at(-1)?.check).toBe('leg-speed');
  });
});
