import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { worstQuality, type InputQuality } from '#server/calc/worst-quality.ts';
import { QUALITIES } from '#server/contract/reading.ts';

const anyQualities = fc.array(fc.constantFrom<InputQuality>('good', 'uncertain', 'stale', 'bad'));

describe('worstQuality', () => {
  it("gives 'uncertain' for 'good', 'uncertain', 'good'", () => {
    expect(worstQuality(['good', 'uncertain', 'good'])).toBe('uncertain');
  });

  it("gives 'good' when nothing was read", () => {
    expect(worstQuality([])).toBe('good');
  });

  it('ranks the qualities as the readings that are sent do', () => {
    for (const [index, quality] of QUALITIES.entries()) {
      expect(worstQuality(QUALITIES.slice(0, index + 1))).toBe(quality);
    }
  });

  it('is never better than any of its inputs, whatever their order', () => {
    fc.assert(
      fc.property(anyQualities, (qualities) => {
        const worst = worstQuality(qualities);
        expect(worstQuality(qualities.toReversed())).toBe(worst);
        for (const quality of qualities) expect(worstQuality([worst, quality])).toBe(worst);
      }),
    );
  });
});
