import type { SampleStore, SeriesDefinition, SeriesId, StoredSeries } from '../ports/sample-store.ts';

/** A series by its name, with what those who ask for its past must know. */
export interface LookedUpSeries extends Pick<SeriesDefinition, 'unit' | 'interpolation'> {
  readonly series: SeriesId;
  /** Where it was kept in another unit before: from when on it is in this one. */
  readonly unitFromMs?: number;
}

export async function seriesLookUp(
  store: SampleStore,
  definitions: readonly SeriesDefinition[],
  seriesOf: ReadonlyMap<string, SeriesId>,
): Promise<(name: string) => LookedUpSeries | undefined> {
  const stored = Map.groupBy(await store.catalogue(), ({ series }) => series);
  const known = new Map<string, LookedUpSeries>();
  for (const { name, unit, interpolation } of definitions) {
    const series = seriesOf.get(name);
    if (series === undefined) continue;
    const unitFromMs = lastUnitFromMs(stored.get(series) ?? []);
    known.set(name, { series, unit, interpolation, ...(unitFromMs === null ? {} : { unitFromMs }) });
  }
  return (name) => known.get(name);
}

/** Null where the unit has always been the one of today. */
function lastUnitFromMs(definitions: readonly StoredSeries[]): number | null {
  const last = definitions.at(-1);
  const other = definitions.findLast(({ unit }) => unit !== last?.unit);
  return other === undefined ? null : other.validToMs;
}
