import { numberText } from '../../server/contract/format/number-text.ts';
import { quantityText, type Reader } from '../../server/contract/format/quantity-text.ts';
import { readerScale } from '../../server/contract/format/reader-quantity.ts';
import type { UnitCode } from '../../server/contract/unit-code.ts';

/** The label of a tick of a value axis, in the reader's unit, with as many decimals as the steps need. */
export function axisText(unit: UnitCode, reader: Reader): (value: number, step: number) => string {
  const least = readerScale(unit, reader).decimals === 0 ? 0 : 1;
  if (unit === 'state') return (value) => quantityText({ value, unit }, reader);
  return (value, step) => numberText(value, Math.max(least, decimalsOf(step)), reader.words.decimalMark);
}

const DECIMALS_MAX = 4;

/** As many decimals as the steps of an axis need: none for 5, one for 0.5, three for 0.025. */
function decimalsOf(step: number): number {
  for (let decimals = 0; decimals < DECIMALS_MAX; decimals++) {
    const scaled = step * 10 ** decimals;
    if (Math.abs(scaled - Math.round(scaled)) < 1e-6) return decimals;
  }
  return DECIMALS_MAX;
}
