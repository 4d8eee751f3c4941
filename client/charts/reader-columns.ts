import type { Band } from '../../server/contract/figure-message.ts';
import { readerScale } from '../../server/contract/format/reader-quantity.ts';
import type { ReaderContext } from '../../server/contract/format/reader-units.ts';
import type { UnitCode } from '../../server/contract/unit-code.ts';
import type { TrendColumns } from '../live/trend-columns.ts';

/** Columns in the reader's units, so that the axis has round numbers in what it shows. */
export function readerColumns(columns: TrendColumns, unit: UnitCode, context: ReaderContext): TrendColumns {
  const { factor, offset } = readerScale(unit, context);
  const turned = (values: readonly (number | null)[]) =>
    values.map((value) => (value === null ? null : value * factor + offset));
  return {
    timeMs: columns.timeMs,
    min: turned(columns.min),
    max: turned(columns.max),
    mid: turned(columns.mid),
  };
}

export function readerBand(band: Band | null, unit: UnitCode, context: ReaderContext): Band | null {
  if (band === null) return null;
  const { factor, offset } = readerScale(unit, context);
  const turned = (value: number | null) => (value === null ? null : value * factor + offset);
  return { low: turned(band.low), high: turned(band.high), target: turned(band.target) };
}
