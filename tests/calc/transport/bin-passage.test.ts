import { describe, expect, it } from 'vitest';
import { binPassage } from '#server/calc/transport/bin-passage.ts';
import { kilograms, kilogramsPerHour } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const running = {
  contents: kilograms(400),
  outflow: kilogramsPerHour(11_400),
  outflowFloor: kilogramsPerHour(650),
};

describe('binPassage', () => {
  it('gives 126.3 s for 400 kg that run out at 11,400 kg/h, by hand', () => {
    expect(valueOf(binPassage(running))).toBeCloseTo(126.316, 3);
  });

  it('is unknown, not endless, while the bin stands', () => {
    const standing = { ...running, outflow: kilogramsPerHour(0) };
    expect(binPassage(standing)).toEqual({ known: false, because: 'line-stopped' });
  });

  it('counts an outflow exactly at the floor as running', () => {
    expect(binPassage({ ...running, outflow: running.outflowFloor }).known).toBe(true);
  });

  it('takes no time through an empty bin, and twice the time through twice the contents', () => {
    expect(valueOf(binPassage({ ...running, contents: kilograms(0) }))).toBe(0);
    expect(valueOf(binPassage({ ...running, contents: kilograms(800) }))).toBeCloseTo(252.632, 3);
  });

  it('refuses negative contents and outflow and a floor of nothing', () => {
    expect(() => binPassage({ ...running, contents: kilograms(-1) })).toThrow(
      'FIGURE_INPUT binPassage.contents [kg]: got -1, expected >= 0',
    );
    expect(() => binPassage({ ...running, outflow: kilogramsPerHour(-1) })).toThrow(
      'FIGURE_INPUT binPassage.outflow [kg/h]: got -1, expected >= 0',
    );
    expect(() => binPassage({ ...running, outflowFloor: kilogramsPerHour(0) })).toThrow(
      'FIGURE_INPUT binPassage.outflowFloor [kg/h]: got 0, expected > 0',
    );
  });
});
