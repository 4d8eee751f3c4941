import type { Band } from '../../server/contract/figure-message.ts';
import { readerScale } from '../../server/contract/format/reader-quantity.ts';
import type { ReaderContext } from '../../server/contract/format/reader-units.ts';
import type { UnitCode } from '../../server/contract/unit-code.ts';
import type { TrendColumns } from '../live/trend-columns.ts';

interface Turned {
  readonly factor: number;
  readonly offset: number;
  readonly columns: TrendColumns;
}

/** The same columns turned to the same units are the same object: a chart that only zooms is not built anew. */
const turnedBefore = new WeakMap<TrendColumns, Turned>();

/** Columns in the reader's units, so that the axis has round numbers in what it shows. */
export function readerColumns(columns: TrendColumns, unit: UnitCode, context: ReaderContext): TrendColumns {
  const { factor, offset } = readerScale(unit, context);
  const kept = turnedBefore.get(columns);
  if (kept?.factor === factor && kept.offset === offset) return kept.columns;
  const made = turnedColumns(columns, factor, offset);
  turnedBefore.set(columns, { factor, offset, columns: made });
  return made;
}

function turnedColumns(columns: TrendColumns, factor: number, offset: number): TrendColumns {
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
