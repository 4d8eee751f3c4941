import { numberText } from '../../../server/contract/format/number-text.ts';
import type { Reader } from '../../../server/contract/format/quantity-text.ts';
import { readerScale } from '../../../server/contract/format/reader-quantity.ts';
import type { Quantity } from '../../../server/contract/unit-code.ts';

const DIGITS = 2;

/**
 * How sure a number is, to two digits that mean something: "± 0.34 %", "± 4.1 bu/h". An amount is a difference, so a
 * scale's zero does not count.
 */
export function amountText({ value, unit }: Quantity, reader: Reader): string {
  const { factor, symbol } = readerScale(unit, reader);
  const amount = Math.abs(value * factor);
  const decimals = amount === 0 ? 0 : Math.min(6, Math.max(0, DIGITS - 1 - Math.floor(Math.log10(amount))));
  const text = numberText(amount, decimals, reader.words.decimalMark);
  return symbol === '' ? text : `${text}\u00a0${symbol}`;
}
