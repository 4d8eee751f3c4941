import type { NamedSeries } from './known-series.ts';

/** What an answer says of a series before its columns. */
export function namedInAnswer({ name, unit, interpolation, unitFromMs }: NamedSeries) {
  return { series: name, unit, interpolation, ...(unitFromMs === undefined ? {} : { unitFromMs }) };
}

/** A column without what was counted in another unit: under the unit of today it would be a false number. */
export function inItsUnit<Value>(
  { unitFromMs }: NamedSeries,
  timeMs: readonly number[],
  { column, else: left }: { readonly column: Value[]; readonly else: Value },
): Value[] {
  if (unitFromMs === undefined || (timeMs[0] ?? Infinity) >= unitFromMs) return column;
  return column.map((value, index) => ((timeMs[index] ?? 0) < unitFromMs ? left : value));
}
