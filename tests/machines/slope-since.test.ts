import { TheilSenRegression } from 'ml-regression-theil-sen';
import { describe, expect, it } from 'vitest';
import { slopeSince } from '#server/machines/slope-since.ts';
import { randomStream } from '#simulator/physics/random.ts';
import { DAY_MS } from './machine-points.ts';

const daily = (values: readonly number[]) => values.map((value, day) => ({ timeMs: day * DAY_MS, value }));

describe('slopeSince', () => {
  it('tells no slope of the EPA example, whose trend may be chance (QA/G-9S p. 109: z 1.685, p 0.092)', () => {
    expect(slopeSince(daily([10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15]), 1)).toBeNull();
  });

  it('tells 1 a day of the USGS example with its wild sixth value (TWRI 4-A3 ch. 10)', () => {
    expect(slopeSince(daily([1, 2, 3, 4, 5, 16, 7]), 1)?.middle).toBe(1);
  });

  it('tells what the general library tells of thirty noisy days', () => {
    const random = randomStream(3, 'slope');
    const values = Array.from({ length: 30 }, (_, day) => 0.01 * day + 0.03 * random.normal());
    const reference = new TheilSenRegression(
      values.map((_, day) => day),
      values,
    );
    expect(slopeSince(daily(values), 1)?.middle).toBeCloseTo(reference.slope, 10);
  });

  it('has the true slope in its range of 90 % in 80 to 98 of 100 series', () => {
    const held = Array.from({ length: 100 }, (_, seed) => {
      const random = randomStream(seed, 'slope');
      const values = Array.from({ length: 40 }, (__, day) => 0.01 * day + 0.05 * random.normal());
      const slope = slopeSince(daily(values), 1);
      return slope !== null && slope.low <= 0.01 && slope.high >= 0.01;
    }).filter(Boolean).length;
    expect(held).toBeGreaterThanOrEqual(80);
    expect(held).toBeLessThanOrEqual(98);
  });

  it('tells none of fewer than six blocks', () => {
    expect(slopeSince(daily([1, 2, 3, 4, 5]), 1)).toBeNull();
    expect(slopeSince(daily([1, 2, 3, 4, 5, 6]), 1)).not.toBeNull();
  });
});
