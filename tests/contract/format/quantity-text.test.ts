import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numberText } from '#server/contract/format/number-text.ts';
import {
  finestOf,
  quantityParts,
  quantityText,
  unitText,
  type Reader,
} from '#server/contract/format/quantity-text.ts';
import { DEFAULT_READER_UNITS } from '#server/contract/format/reader-units.ts';
import { wordsEn } from '#server/contract/format/words-en.ts';

const READER: Reader = { units: DEFAULT_READER_UNITS, bushelMassKg: 27.215_542_2, words: wordsEn };

describe('quantityText', () => {
  it('writes 13227 kg/h of soybean as 486 bu/h', () => {
    expect(quantityText({ value: 13_226.75, unit: 'kg/h' }, READER)).toBe('486\u00a0bu/h');
  });

  it('writes a contact in words', () => {
    expect(quantityText({ value: 1, unit: 'state' }, READER)).toBe('on');
    expect(quantityText({ value: 0, unit: 'state' }, READER)).toBe('off');
  });

  it('leaves out the unit of a plain count', () => {
    expect(quantityText({ value: 196, unit: 'count' }, READER)).toBe('196');
  });

  it('gives a share whose band ends below 1 % a second decimal, whatever the share is now', () => {
    const high = finestOf({ low: 0.0002, high: 0.001, target: null });
    expect(quantityParts({ value: 0.0005, unit: '1' }, READER, high).number).toBe('0.05');
    expect(quantityParts({ value: 0.21, unit: '1' }, READER, high).number).toBe('21.00');
  });

  it('keeps one decimal for a small share with a wide band, so that the number does not change its form', () => {
    expect(quantityParts({ value: 0.0004, unit: '1' }, READER, 0.012).number).toBe('0.0');
  });

  it('names a contact column in words', () => {
    expect(unitText('state', READER)).toBe('on or off');
  });
});

describe('numberText', () => {
  it('sets ten thousands apart and leaves thousands whole', () => {
    expect(numberText(1170, 0, '.')).toBe('1170');
    expect(numberText(12_345.6, 1, '.')).toBe('12\u202f345.6');
    expect(numberText(1_234_567, 0, '.')).toBe('1\u202f234\u202f567');
  });

  it('uses a true minus sign, and none before a rounded zero', () => {
    expect(numberText(-3.2, 1, '.')).toBe('\u22123.2');
    expect(numberText(-0.04, 1, '.')).toBe('0.0');
  });

  it('takes the decimal mark from the language', () => {
    expect(numberText(84.6, 1, ',')).toBe('84,6');
  });

  it('can be read back: property', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e9, max: 1e9, noNaN: true }),
        fc.integer({ min: 0, max: 4 }),
        (value, decimals) => {
          const text = numberText(value, decimals, '.').replaceAll('\u202f', '').replace('\u2212', '-');
          expect(Number(text)).toBeCloseTo(Number(value.toFixed(decimals)), decimals);
        },
      ),
    );
  });
});
