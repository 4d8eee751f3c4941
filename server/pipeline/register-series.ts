import type { SampleStore, SeriesDefinition, SeriesId, StoredSeries } from '../ports/sample-store.ts';

/**
 * Makes series known to the store. A changed definition holds from right after the newest sample that is kept of the
 * series, not from now on: what the plant gives back of the time between comes in the new unit.
 */
export async function registerSeries(
  store: SampleStore,
  definitions: readonly SeriesDefinition[],
  nowMs: number,
): Promise<ReadonlyMap<string, SeriesId>> {
  const inForce = new Map((await store.catalogue()).map((stored) => [stored.name, stored]));
  const changed = definitions.filter((definition) => hasChanged(inForce.get(definition.name), definition));
  const ids = changed.flatMap(({ name }) => inForce.get(name)?.series ?? []);
  const newest = new Map(
    (await store.valuesAt(ids, nowMs)).map(({ series, timeMs }) => [series, timeMs] as const),
  );
  const fromMsOf = ({ name }: SeriesDefinition): number => {
    const timeMs = newest.get(inForce.get(name)?.series ?? -1);
    return timeMs === undefined ? nowMs : timeMs + 1;
  };
  for (const [fromMs, group] of Map.groupBy(changed, fromMsOf)) await store.register(group, fromMs);
  return store.register(definitions, nowMs);
}

function hasChanged(stored: StoredSeries | undefined, definition: SeriesDefinition): boolean {
  if (stored === undefined) return false;
  const keys = ['kind', 'unit', 'interpolation', 'resolution', 'heldMs'] as const;
  return keys.some((key) => stored[key] !== definition[key]);
}
