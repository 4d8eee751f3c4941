import Qty from 'js-quantities';
import { describe, expect, it } from 'vitest';
import { readerScale, readerValue } from '#server/contract/format/reader-quantity.ts';
import type { ReaderContext, ReaderUnits } from '#server/contract/format/reader-units.ts';

const SOYBEAN_KG = 27.215_542_2;

function reader(units: Partial<ReaderUnits>, bushelMassKg: number | null = SOYBEAN_KG): ReaderContext {
  return { units: { massRate: 'bu/h', dose: 'fl oz/bu', temperature: '°F', ...units }, bushelMassKg };
}

describe('readerScale', () => {
  it('shows 9072 kg/h of 27.2155422 kg bushels as 333.34 bu/h, by hand', () => {
    expect(readerValue({ value: 9072, unit: 'kg/h' }, reader({}))).toBeCloseTo(333.339, 3);
  });

  it('counts 36.743710 soybean bushels to the tonne, per handbook check U4', () => {
    expect(readerValue({ value: 1000, unit: 'kg' }, reader({}))).toBeCloseTo(36.743_71, 5);
  });

  it('shows one US fluid ounce a bushel for 29.5735295625 mL/bu, per handbook check U2', () => {
    expect(readerValue({ value: 29.573_529_562_5, unit: 'mL/bu' }, reader({}))).toBeCloseTo(1, 12);
  });

  it('shows 2.4 fl oz/bu of 60 lb seed as 4 fl oz/cwt, per handbook check U3', () => {
    const stored = { value: 2.4 * 29.573_529_562_5, unit: 'mL/bu' } as const;
    expect(readerValue(stored, reader({ dose: 'fl oz/cwt' }))).toBeCloseTo(4, 12);
  });

  it('shows 1 fl oz/cwt as 65.198472281 mL/100 kg, per handbook section 1.1', () => {
    const stored = { value: 0.6 * 29.573_529_562_5, unit: 'mL/bu' } as const;
    expect(readerValue(stored, reader({ dose: 'mL/100 kg' }))).toBeCloseTo(65.198_472_281, 6);
  });

  it('shows 77.23116 kg/hL as 60 lb/bu of test weight, per handbook section 1.1', () => {
    expect(readerValue({ value: 77.231_16, unit: 'kg/hL' }, reader({}))).toBeCloseTo(60, 4);
  });

  it.each([-40, 0, 21.5, 100])('turns %f °C into the °F that js-quantities gives', (celsius) => {
    const expected = Qty(celsius, 'tempC').to('tempF').scalar;
    expect(readerValue({ value: celsius, unit: 'degC' }, reader({}))).toBeCloseTo(expected, 9);
  });

  it('turns kilograms into the pounds that js-quantities gives', () => {
    const expected = Qty(1234.5, 'kg').to('lb').scalar;
    expect(readerValue({ value: 1234.5, unit: 'kg' }, reader({ massRate: 'lb/h' }))).toBeCloseTo(expected, 6);
  });

  it('falls back to pounds, not to a guessed bushel, where no crop is known', () => {
    expect(readerScale('kg/h', reader({}, null)).symbol).toBe('lb/h');
  });

  it('leaves a dose per mass in mL/bu where no crop is known', () => {
    expect(readerScale('mL/bu', reader({ dose: 'fl oz/cwt' }, null)).symbol).toBe('mL/bu');
  });

  it('keeps fluid ounces a bushel without a crop, for no mass is needed', () => {
    expect(readerScale('mL/bu', reader({}, null)).symbol).toBe('fl oz/bu');
  });

  it('shows a ratio as per cent', () => {
    expect(readerValue({ value: 0.846, unit: '1' }, reader({}))).toBeCloseTo(84.6, 12);
  });

  it('lets the mass unit follow the chosen rate', () => {
    const symbols = (['bu/h', 'lb/h', 'kg/h', 't/h'] as const).map(
      (massRate) => readerScale('kg', reader({ massRate })).symbol,
    );
    expect(symbols).toEqual(['bu', 'lb', 'kg', 't']);
  });
});
