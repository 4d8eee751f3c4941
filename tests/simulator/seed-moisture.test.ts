import { describe, expect, it } from 'vitest';
import { equilibriumMoisture, heatDeathPerS, shrinkKg } from '#simulator/physics/seed-moisture.ts';

const SIXTY_F = (60 - 32) / 1.8;

describe('seed moisture', () => {
  it('is 16.06 % for corn at 60 °F and 80 % (M4, extension table 16.1)', () => {
    expect(equilibriumMoisture('corn', SIXTY_F, 0.8) * 100).toBeCloseTo(16.06, 1);
  });

  it('is 18.25 % for soybean at 60 °F and 80 % (M5, extension table 18.3)', () => {
    expect(equilibriumMoisture('soybean', SIXTY_F, 0.8) * 100).toBeCloseTo(18.25, 1);
  });

  it('is 14.685 % for wheat at 25 °C and 70 % (M8)', () => {
    expect(equilibriumMoisture('wheat', 25, 0.7) * 100).toBeCloseTo(14.685, 2);
  });

  it('does not follow humidity below 10 % and above 95 %, where the models are not valid', () => {
    expect(equilibriumMoisture('corn', 30, 0.01)).toBe(equilibriumMoisture('corn', 30, 0.1));
    expect(equilibriumMoisture('corn', 30, 1)).toBe(equilibriumMoisture('corn', 30, 0.95));
  });

  it('loses 56.18 of 1000 from 16 to 11 % (M1, South Dakota State University Extension 2018)', () => {
    expect(shrinkKg(1000, 0.16, 0.11)).toBeCloseTo(56.18, 2);
  });

  it('leaves 30 of 95 alive after an hour at 60 °C (handbook 4.4, rice)', () => {
    expect(95 * Math.exp(-heatDeathPerS(60) * 3600)).toBeCloseTo(30, 6);
  });

  it('hardly harms seed at 43 °C in the minutes a dryer takes', () => {
    expect(heatDeathPerS(43) * 120).toBeLessThan(0.001);
  });
});
