import { numberText } from '../../../server/contract/format/number-text.ts';
import type { Reader } from '../../../server/contract/format/quantity-text.ts';
import { readerScale } from '../../../server/contract/format/reader-quantity.ts';
import type { Quantity } from '../../../server/contract/unit-code.ts';

/** Differences are smaller than what they are differences of. */
const MORE_DECIMALS = 1;

/**
 * A difference in the reader's units: ten degrees Celsius more are eighteen degrees Fahrenheit more, not fifty. A
 * difference of shares is in percentage points.
 */
export function differenceText(
  { value, unit }: Quantity,
  reader: Reader,
  how: { readonly points: string; readonly isSigned?: boolean },
): string {
  const { factor, decimals, symbol } = readerScale(unit, reader);
  const number = numberText(value * factor, decimals + MORE_DECIMALS, reader.words.decimalMark);
  const sign = (how.isSigned ?? true) && value * factor > 0 ? '+' : '';
  const name = unit === '1' ? how.points : symbol;
  return name === '' ? `${sign}${number}` : `${sign}${number}\u00a0${name}`;
}
