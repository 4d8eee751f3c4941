import { describe, expect, it } from 'vitest';
import { normalQuantile, randomStream } from '#simulator/physics/random.ts';
import { wander } from '#simulator/physics/wander.ts';

function sample(count: number, draw: () => number) {
  const values = Array.from({ length: count }, draw);
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (count - 1);
  return { values, mean, deviation: Math.sqrt(variance) };
}

describe('randomStream', () => {
  it('gives the same numbers for the same seed and purpose, others for another', () => {
    const draw = (seed: number, purpose: string) => {
      const stream = randomStream(seed, purpose);
      return Array.from({ length: 5 }, () => stream.uniform());
    };
    expect(draw(3, 'feed')).toEqual(draw(3, 'feed'));
    expect(draw(3, 'feed')).not.toEqual(draw(4, 'feed'));
    expect(draw(3, 'feed')).not.toEqual(draw(3, 'mains'));
  });

  it('is even, and normal with mean 0 and deviation 1', () => {
    const stream = randomStream(11, 'test');
    expect(sample(20_000, () => stream.uniform()).mean).toBeCloseTo(0.5, 1);
    const { mean, deviation } = sample(20_000, () => stream.normal());
    expect(Math.abs(mean)).toBeLessThan(0.03);
    expect(Math.abs(deviation - 1)).toBeLessThan(0.02);
  });
});

describe('normalQuantile', () => {
  it('is 0, 1.6449, 1.9600, 2.5758 at 0.5, 0.95, 0.975, 0.995 (tables of the normal distribution)', () => {
    expect(normalQuantile(0.5)).toBeCloseTo(0, 12);
    expect(normalQuantile(0.95)).toBeCloseTo(1.644854, 5);
    expect(normalQuantile(0.975)).toBeCloseTo(1.959964, 5);
    expect(normalQuantile(0.995)).toBeCloseTo(2.575829, 5);
    expect(normalQuantile(0.001)).toBeCloseTo(-3.090232, 5);
  });
});

describe('wander', () => {
  it('strays as far at steps of a tenth of a second as at steps of one', () => {
    const spread = (stepS: number) => {
      const next = wander({
        random: randomStream(5, `w ${stepS}`),
        standardDeviation: 2,
        timeConstantS: 3,
        stepS,
      });
      return sample(40_000, next).deviation;
    };
    expect(spread(1)).toBeCloseTo(2, 0);
    expect(spread(0.1)).toBeCloseTo(2, 0);
  });
});
