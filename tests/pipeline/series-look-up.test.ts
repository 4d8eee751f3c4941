import { describe, expect, it } from 'vitest';
import { seriesLookUp } from '#server/pipeline/series-look-up.ts';
import type { SeriesDefinition } from '#server/ports/sample-store.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { flow } from '#tests/support/sample-builders.ts';

/** The look-up after a series was defined as each of these, at 0, 1000, 2000 ... */
async function afterDefinitions(...definitions: readonly SeriesDefinition[]) {
  const store = memorySampleStore();
  let ids: ReadonlyMap<string, number> = new Map();
  for (const [index, definition] of definitions.entries())
    ids = await store.register([definition], index * 1000);
  return (await seriesLookUp(store, definitions.slice(-1), ids))(flow.name);
}

describe('seriesLookUp', () => {
  it('says nothing of a unit that was always the same, whatever else has changed', async () => {
    const found = await afterDefinitions(flow, { ...flow, resolution: 5 });
    expect(found).toEqual({ series: 1, unit: 'kg/h', interpolation: 'linear' });
  });

  it('says from when on a series has its unit, later changes of anything else left aside', async () => {
    const found = await afterDefinitions({ ...flow, unit: 'kg' }, { ...flow, unit: 'V' }, flow, {
      ...flow,
      resolution: 5,
    });
    expect(found).toMatchObject({ unit: 'kg/h', unitFromMs: 2000 });
  });

  it('does not know what the plant does not have', async () => {
    const store = memorySampleStore();
    expect((await seriesLookUp(store, [], new Map()))('x')).toBeUndefined();
  });
});
