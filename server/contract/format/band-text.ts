import type { Band } from '../figure-message.ts';
import type { UnitCode } from '../unit-code.ts';
import { numberText } from './number-text.ts';
import { finestOf, quantityParts, type Reader } from './quantity-text.ts';

/** Where a value lies against its band; `no-band` when there is nothing to compare with. */
export type BandPlace = 'below' | 'in' | 'above' | 'no-band';

export function bandPlace(value: number, band: Band | null): BandPlace {
  if (band === null || (band.low === null && band.high === null)) return 'no-band';
  if (band.low !== null && value < band.low) return 'below';
  if (band.high !== null && value > band.high) return 'above';
  return 'in';
}

/** "4.0–6.5", "at most 6.5", "at least 4.0"; empty where both sides are open. The unit stands beside the value. */
export function bandText(band: Band | null, unit: UnitCode, reader: Reader): string {
  if (band === null) return '';
  const edge = (value: number) => quantityParts({ value, unit }, reader, finestOf(band)).number;
  if (band.low !== null && band.high !== null) return `${edge(band.low)}–${edge(band.high)}`;
  if (band.high !== null) return reader.words.atMost(edge(band.high));
  if (band.low !== null) return reader.words.atLeast(edge(band.low));
  return '';
}

export function targetText(band: Band | null, unit: UnitCode, reader: Reader): string {
  if (band === null || band.target === null) return '';
  return reader.words.target(quantityParts({ value: band.target, unit }, reader, finestOf(band)).number);
}

/**
 * How far a value is from its target: relative for rates and doses, in points for shares, where a percentage of a
 * percentage misleads.
 */
export function deviationText(value: number, band: Band | null, reader: Reader & { unit: UnitCode }): string {
  if (band === null || band.target === null || band.target === 0) return '';
  const { words, unit } = reader;
  const isShare = unit === '1';
  const deviation = isShare ? (value - band.target) * 100 : (value / band.target - 1) * 100;
  const text = numberText(Math.abs(deviation), 1, words.decimalMark);
  if (Number(Math.abs(deviation).toFixed(1)) === 0) return words.onTarget;
  const amount = isShare ? words.points(text) : `${text}\u00a0%`;
  return deviation > 0 ? words.over(amount) : words.under(amount);
}
