import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  primarySamplesOfBulk,
  primarySamplesOfContainers,
} from '#server/calc/seed-quality/primary-samples.ts';
import { kilograms } from '#server/calc/units.ts';

describe('primarySamplesOfContainers', () => {
  it('takes 12 samples from 12 bags, 20 from 45 and 9 from 3 (Q5, UK SSI 2005/328)', () => {
    expect(primarySamplesOfContainers(12)).toBe(12);
    expect(primarySamplesOfContainers(45)).toBe(20);
    expect(primarySamplesOfContainers(3)).toBe(9);
  });

  it.each([
    [1, 3],
    [4, 12],
    [5, 10],
    [8, 16],
    [9, 9],
    [15, 15],
    [16, 15],
    [30, 15],
    [31, 20],
    [59, 20],
    [60, 30],
    [5000, 30],
  ])('takes, from %d containers, %d samples', (containers, samples) => {
    expect(primarySamplesOfContainers(containers)).toBe(samples);
  });

  it('refuses a lot of no container', () => {
    expect(() => primarySamplesOfContainers(0)).toThrow(
      new RangeError('FIGURE_INPUT primarySamplesOfContainers.containers [1]: got 0, expected > 0'),
    );
  });
});

describe('primarySamplesOfBulk', () => {
  it('takes 20 samples from 10000 kg (Q6)', () => {
    expect(primarySamplesOfBulk(kilograms(10_000))).toBe(20);
  });

  it.each([
    [0, 5],
    [500, 5],
    [501, 5],
    [1501, 6],
    [3000, 10],
    [3001, 10],
    [5001, 11],
    [20_000, 40],
    [20_001, 40],
    [28_001, 41],
  ])('takes, from %d kg, %d samples', (mass, samples) => {
    expect(primarySamplesOfBulk(kilograms(mass))).toBe(samples);
  });

  it('refuses a negative mass', () => {
    expect(() => primarySamplesOfBulk(kilograms(-1))).toThrow(
      new RangeError('FIGURE_INPUT primarySamplesOfBulk.mass [kg]: got -1, expected >= 0'),
    );
  });

  it('never takes fewer samples from a larger lot', () => {
    const mass = fc.double({ min: 0, max: 60_000, noNaN: true });
    fc.assert(
      fc.property(mass, mass, (a, b) => {
        const [small, large] = [kilograms(Math.min(a, b)), kilograms(Math.max(a, b))];
        expect(primarySamplesOfBulk(large)).toBeGreaterThanOrEqual(primarySamplesOfBulk(small));
      }),
    );
  });
});
