import { numberText } from '../../../server/contract/format/number-text.ts';
import type { Reader } from '../../../server/contract/format/quantity-text.ts';
import { readerScale } from '../../../server/contract/format/reader-quantity.ts';
import type { Quantity } from '../../../server/contract/unit-code.ts';

const DIGITS = 2;

/**
 * How sure a number is, to two digits that mean something: "± 0.34 %", "± 4.1 bu/h". An amount is a difference, so a
 * scale's zero does not count.
 */
export function amountText(quantity: Quantity, reader: Reader): string {
  const { symbol } = readerScale(quantity.unit, reader);
  const text = bareAmountText(quantity, reader);
  return symbol === '' ? text : `${text}\u00a0${symbol}`;
}

/** The same without its unit, for beside the number whose unit it shares. */
export function bareAmountText({ value, unit }: Quantity, reader: Reader): string {
  const amount = Math.abs(value * readerScale(unit, reader).factor);
  const decimals = amount === 0 ? 0 : Math.min(6, Math.max(0, DIGITS - 1 - Math.floor(Math.log10(amount))));
  return numberText(amount, decimals, reader.words.decimalMark);
}
