import { describe, expect, it } from 'vitest';
import { courseOf } from '#server/machines/course-of.ts';
import { randomStream } from '#simulator/physics/random.ts';

function blocks(shape: (index: number) => number, count = 30) {
  const random = randomStream(11, 'course');
  return Array.from({ length: count }, (_, i) => ({
    timeMs: i * 1000,
    value: shape(i) + 0.05 * random.normal(),
  }));
}

describe('courseOf', () => {
  it('calls what came all at once a step', () => {
    expect(
      courseOf(
        blocks((i) => (i < 12 ? 0 : 1)),
        12_000,
      ),
    ).toBe('step');
  });

  it('calls what grows block by block a creep', () => {
    expect(
      courseOf(
        blocks((i) => Math.max(0, i - 8) / 20),
        10_000,
      ),
    ).toBe('creep');
  });

  it('is unsettled while fewer than six blocks tell of it', () => {
    expect(
      courseOf(
        blocks((i) => (i < 25 ? 0 : 1)),
        25_000,
      ),
    ).toBe('unsettled');
  });

  it('is unsettled where noise hides the shape', () => {
    const random = randomStream(12, 'course');
    const noise = Array.from({ length: 30 }, (_, i) => ({ timeMs: i * 1000, value: 0.2 + random.normal() }));
    expect(courseOf(noise, 10_000)).toBe('unsettled');
  });
});
