import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differenceOfMeans } from '#server/calc/statistics/difference-of-means.ts';
import { effectiveCount, type EffectiveCount } from '#server/calc/statistics/effective-count.ts';
import { SEED } from '#tests/support/seed.ts';

/** Evenly spread numbers from 0 to 1 that depend on the seed alone. Source: mulberry32, public domain, from memory. */
function chances(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b_79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** x_t = f x_t-1 + noise, a normal process whose resemblance is known: its time is (1 + f) / (1 - f). */
function chain(count: number, f: number, chance: () => number): number[] {
  const values: number[] = [];
  let x = 0;
  for (let index = -200; index < count; index++) {
    const noise = Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance());
    x = f * x + Math.sqrt(1 - f * f) * noise;
    if (index >= 0) values.push(x);
  }
  return values;
}

function known(values: readonly number[]): EffectiveCount {
  const found = effectiveCount(values);
  if (found === null) throw new Error('the values say too little');
  return found;
}

describe('effectiveCount', () => {
  it('is the count itself for values that are all the same', () => {
    expect(effectiveCount(Array.from({ length: 8 }, () => 5))).toEqual({
      count: 8,
      effective: 8,
      mean: 5,
      standardDeviation: 0,
    });
  });

  it('does not speak about fewer than eight values', () => {
    expect(effectiveCount([1, 2, 3, 4, 5, 6, 7])).toBeNull();
  });

  it('does not speak about values that only drift: they are worth less than four', () => {
    expect(effectiveCount(Array.from({ length: 400 }, (_, index) => index))).toBeNull();
  });

  it.each([0, 0.5, 0.9])('finds (1 - f) / (1 + f) of the count for a chain with f = %d', (f) => {
    const counts = Array.from(
      { length: 20 },
      (_, run) => known(chain(2000, f, chances(SEED + run))).effective,
    );
    const middle = counts.toSorted((one, other) => one - other)[10] ?? 0;
    const true_ = (2000 * (1 - f)) / (1 + f);
    expect(middle / true_).toBeGreaterThan(0.8);
    expect(middle / true_).toBeLessThan(1.25);
  });

  it('does not depend on the unit or on where nought lies', () => {
    const one = chain(300, 0.6, chances(SEED));
    const other = one.map((value) => value * 7 + 1000);
    expect(known(other).effective).toBeCloseTo(known(one).effective, 6);
    expect(known(other).standardDeviation).toBeCloseTo(7 * known(one).standardDeviation, 6);
  });

  it('never finds more than there are', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 8, maxLength: 60 }),
        (values) => {
          const found = effectiveCount(values);
          return found === null || (found.effective <= values.length && found.effective >= 4);
        },
      ),
    );
  });
});

describe('differenceOfMeans', () => {
  const side = (mean: number, standardDeviation: number, effective: number) => ({
    ...{ count: effective, effective, mean, standardDeviation },
  });

  it('is 3, from 1.556 to 4.444, for 10 and 13 with a spread of 2 over 16 values each, by hand', () => {
    // error = sqrt(4/16 + 4/16) = 0.7071; 30 degrees of freedom; t = 2.0423 (NIST); reach = 1.4441.
    const found = differenceOfMeans({ before: side(10, 2, 16), after: side(13, 2, 16) }, 0.95);
    expect(found.difference).toBe(3);
    expect(found.low).toBeCloseTo(1.556, 3);
    expect(found.high).toBeCloseTo(4.444, 3);
  });

  it('is wider for fewer values and for more confidence', () => {
    const width = (effective: number, confidence: number) => {
      const sides = { before: side(0, 1, effective), after: side(0, 1, effective) };
      const { low, high } = differenceOfMeans(sides, confidence);
      return high - low;
    };
    expect(width(5, 0.95)).toBeGreaterThan(width(50, 0.95));
    expect(width(50, 0.99)).toBeGreaterThan(width(50, 0.95));
  });

  it('is a point where nothing varies', () => {
    expect(differenceOfMeans({ before: side(1, 0, 9), after: side(4, 0, 9) }, 0.95)).toEqual({
      difference: 3,
      low: 3,
      high: 3,
    });
  });

  it('refuses certainty and names it', () => {
    const sides = { before: side(0, 1, 9), after: side(0, 1, 9) };
    expect(() => differenceOfMeans(sides, 1)).toThrow('FIGURE_INPUT differenceOfMeans.confidence [1]: got 1');
  });

  it('holds the truth in about 95 of 100 intervals although neighbours resemble each other', () => {
    // 400 pairs of a chain with f = 0.9 and no change between them; a plain t interval would miss more than half.
    const chance = chances(SEED);
    let held = 0;
    let asked = 0;
    for (let pair = 0; pair < 400; pair++) {
      const [before, after] = [
        effectiveCount(chain(600, 0.9, chance)),
        effectiveCount(chain(600, 0.9, chance)),
      ];
      if (before === null || after === null) continue;
      const { low, high } = differenceOfMeans({ before, after }, 0.95);
      asked += 1;
      if (low <= 0 && high >= 0) held += 1;
    }
    expect(asked).toBe(400);
    expect(held / asked).toBeGreaterThan(0.9);
    expect(held / asked).toBeLessThan(0.98);
  });
});
