import { describe, expect, it } from 'vitest';
import { WHEAT } from '#simulator/physics/crops/wheat.ts';
import { COMPONENTS } from '#simulator/physics/crops/crop.ts';
import { lynchRaoPartition } from '#simulator/physics/partition.ts';
import { populationOf } from '#simulator/physics/population.ts';
import { terminalVelocity } from '#simulator/physics/terminal-velocity.ts';

describe('terminalVelocity', () => {
  it('is 5.595 m/s for a wheat kernel of 29.6 mg and 7.08 x 3.27 mm, Cd 0.85 (handbook S4)', () => {
    const areaM2 = (Math.PI / 4) * 7.08e-3 * 3.27e-3;
    const velocity = terminalVelocity({ massKg: 29.6e-6, areaM2, dragCoefficient: 0.85, airKgPerM3: 1.2 });
    expect(velocity).toBeCloseTo(5.595, 3);
  });

  it('is 12.619 m/s for a soybean of 150 mg and 6.6 mm, Cd 0.45 (handbook S5)', () => {
    const areaM2 = (Math.PI / 4) * 6.6e-3 ** 2;
    const velocity = terminalVelocity({ massKg: 150e-6, areaM2, dragCoefficient: 0.45, airKgPerM3: 1.2 });
    expect(velocity).toBeCloseTo(12.619, 3);
  });

  it('goes with air density to the power of minus one half (handbook 10.5)', () => {
    const at = (airKgPerM3: number) =>
      terminalVelocity({ massKg: 1e-4, areaM2: 3e-5, dragCoefficient: 0.5, airKgPerM3 });
    expect(at(0.9) / at(1.2)).toBeCloseTo(Math.sqrt(1.2 / 0.9), 12);
  });

  it('lets air of 5.5 m/s lift straw of up to 4.85 m/s and keep wheat of 7.0 and more (handbook S6)', () => {
    const lifted = (velocity: number) => 1 - lynchRaoPartition(velocity, 5.5, 11);
    expect(lifted(4.85)).toBeGreaterThan(0.7);
    expect(lifted(7.04)).toBeLessThan(0.1);
  });

  it('puts most of the wheat population within the 6.31 to 8.02 m/s of Int. Agrophysics 28(3):389 (2014)', () => {
    const { layout, velocityMPerS } = populationOf(WHEAT);
    const good = COMPONENTS.indexOf('good');
    const cells = velocityMPerS.slice(layout.cellStarts[good], layout.cellStarts[good + 1]);
    const within = cells.filter((velocity) => velocity >= 6.0 && velocity <= 8.02);
    expect(within.length / cells.length).toBeGreaterThan(0.9);
  });
});
