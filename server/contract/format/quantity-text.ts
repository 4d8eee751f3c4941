import type { Band } from '../figure-message.ts';
import type { Quantity, UnitCode } from '../unit-code.ts';
import type { FormatWords } from './format-words.ts';
import { numberText } from './number-text.ts';
import { readerScale } from './reader-quantity.ts';
import type { ReaderContext } from './reader-units.ts';

/** What every text of this folder needs: the reader's units and the reader's words. */
export interface Reader extends ReaderContext {
  readonly words: FormatWords;
}

/** A quantity in two pieces, so that a screen can set the number large and the unit small. */
export interface QuantityParts {
  readonly number: string;
  /** Empty for contacts and counts. */
  readonly unit: string;
}

/** Below this a share needs a second decimal, or its band is lost in rounding. */
const SMALL_SHARE = 0.01;

/**
 * A stored quantity in the reader's units. `finest` is a value that the decimals must still tell apart, for example
 * the upper edge of the band; a property of the lot, so that a live number keeps its form.
 */
export function quantityParts(
  quantity: Quantity,
  reader: Reader,
  finest: number | null = null,
): QuantityParts {
  if (quantity.unit === 'state') {
    return { number: quantity.value === 0 ? reader.words.contactOff : reader.words.contactOn, unit: '' };
  }
  const { factor, offset, symbol, decimals } = readerScale(quantity.unit, reader);
  const shown = decimals + (needsFiner(quantity.unit, finest) ? 1 : 0);
  return {
    number: numberText(quantity.value * factor + offset, shown, reader.words.decimalMark),
    unit: symbol,
  };
}

export function quantityText(quantity: Quantity, reader: Reader, finest: number | null = null): string {
  const { number, unit } = quantityParts(quantity, reader, finest);
  return unit === '' ? number : `${number}\u00a0${unit}`;
}

/** The value that a figure's decimals must tell apart, taken from its band. */
export function finestOf(band: Band | null): number | null {
  return band === null ? null : (band.high ?? band.target ?? band.low);
}

/** The symbol alone, for the head of a column or an axis. */
export function unitText(unit: UnitCode, reader: Reader): string {
  return unit === 'state' ? reader.words.contactUnit : readerScale(unit, reader).symbol;
}

function needsFiner(unit: UnitCode, finest: number | null): boolean {
  return unit === '1' && finest !== null && Math.abs(finest) < SMALL_SHARE;
}
