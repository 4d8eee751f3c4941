import { describe, expect, it } from 'vitest';
import { VIBRATION_LIMITS } from '#server/calc/condition/vibration-zone.ts';
import { handFinding } from '#server/machines/hand-readings.ts';

const weekly = (...values: readonly number[]) => values.map((mmPerS, week) => ({ timeMs: week, mmPerS }));
const limits = VIBRATION_LIMITS['class-I'];

describe('handFinding', () => {
  it('finds a change beyond 0.45 mm/s, a quarter of 1.8, inside zone B (ISO 20816-1)', () => {
    const found = handFinding(weekly(1.1, 1.1), weekly(1.3, 1.5, 1.56), limits);
    expect(found).toMatchObject({ foundMs: 2, reason: 'changed' });
    expect(found?.change).toBeCloseTo(0.46, 10);
  });

  it('finds nothing in a change of exactly that', () => {
    expect(handFinding(weekly(1, 1), weekly(1.45), limits)).toBeNull();
  });

  it('finds zone D even where nothing is known of before', () => {
    expect(handFinding([], weekly(4.4), limits)).toBeNull();
    expect(handFinding([], weekly(4.6), limits)).toMatchObject({ reason: 'zone-d' });
  });
});
