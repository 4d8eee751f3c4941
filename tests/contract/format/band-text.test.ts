import { describe, expect, it } from 'vitest';
import { bandPlace, bandText, deviationText, targetText } from '#server/contract/format/band-text.ts';
import type { Reader } from '#server/contract/format/quantity-text.ts';
import { DEFAULT_READER_UNITS } from '#server/contract/format/reader-units.ts';
import { wordsEn } from '#server/contract/format/words-en.ts';

const READER: Reader = { units: DEFAULT_READER_UNITS, bushelMassKg: 27.215_542_2, words: wordsEn };
const ML_PER_FL_OZ = 29.573_529_562_5;
const DOSE = { low: 4.6 * ML_PER_FL_OZ, high: 5 * ML_PER_FL_OZ, target: 4.8 * ML_PER_FL_OZ };

describe('bandPlace', () => {
  it('counts a value exactly on an edge as in the band', () => {
    expect(bandPlace(0.04, { low: 0.04, high: 0.06, target: null })).toBe('in');
    expect(bandPlace(0.06, { low: 0.04, high: 0.06, target: null })).toBe('in');
  });

  it('says on which side a value lies', () => {
    expect(bandPlace(0.07, { low: null, high: 0.06, target: null })).toBe('above');
    expect(bandPlace(0.03, { low: 0.04, high: null, target: null })).toBe('below');
  });

  it('compares with nothing where both sides are open', () => {
    expect(bandPlace(1, { low: null, high: null, target: 0.5 })).toBe('no-band');
    expect(bandPlace(1, null)).toBe('no-band');
  });
});

describe('bandText', () => {
  it('writes both edges in the reader’s unit without repeating it', () => {
    expect(bandText(DOSE, 'mL/bu', READER)).toBe('4.60–5.00');
  });

  it('says at most and at least where one side is open', () => {
    expect(bandText({ low: null, high: 0.06, target: null }, '1', READER)).toBe('at most 6.0');
    expect(bandText({ low: 0.84, high: null, target: null }, '1', READER)).toBe('at least 84.0');
  });

  it('is empty without a band', () => {
    expect(bandText(null, '1', READER)).toBe('');
  });
});

describe('targetText and deviationText', () => {
  it('says 5.8 % over for 5.08 on a target of 4.80, by hand', () => {
    expect(targetText(DOSE, 'mL/bu', READER)).toBe('target 4.80');
    expect(deviationText(5.08 * ML_PER_FL_OZ, DOSE, { ...READER, unit: 'mL/bu' })).toBe('5.8\u00a0% over');
  });

  it('speaks of points for a share, not of per cent of per cent', () => {
    const band = { low: null, high: null, target: 0.85 };
    expect(deviationText(0.846, band, { ...READER, unit: '1' })).toBe('0.4 points under');
  });

  it('says on target where the difference rounds to nothing', () => {
    expect(deviationText(DOSE.target * 1.0001, DOSE, { ...READER, unit: 'mL/bu' })).toBe('on target');
  });

  it('says nothing without a target', () => {
    expect(deviationText(1, { low: 0, high: 2, target: null }, { ...READER, unit: 'kg' })).toBe('');
  });
});
