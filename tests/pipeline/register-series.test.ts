import { describe, expect, it } from 'vitest';
import { historyExport } from '#server/history/export/history-export.ts';
import { registerSeries } from '#server/pipeline/register-series.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { batchOf, flow, running, START_MS } from '#tests/support/sample-builders.ts';

const asMass = { ...flow, unit: 'kg' as const };

describe('registerSeries', () => {
  it('lets a changed unit begin after the last sample, so that what is given back of an outage has its unit', async () => {
    const store = memorySampleStore();
    const ids = await registerSeries(store, [flow, running], START_MS);
    const scale = ids.get(flow.name) ?? -1;
    await store.append(batchOf(0, [[scale, 1000, 9000]]));
    // The server was down for an hour, in which the scale was set to another unit; the plant remembers.
    const again = await registerSeries(store, [asMass, running], START_MS + 3_600_000);
    expect(again).toEqual(ids);
    await store.append(batchOf(1, [[scale, 60_000, 9]]));
    const request = { names: [flow.name], fromMs: 0, toMs: START_MS + 9e6, format: 'csv' } as const;
    const { body } = await historyExport(store, request, new AbortController().signal);
    const bytes: Uint8Array[] = [];
    for await (const part of body) bytes.push(part);
    const lines = Buffer.concat(bytes).toString().split('\r\n');
    expect(lines.slice(1, 3).map((line) => line.split(',').slice(2, 4))).toEqual([
      ['9000', 'kg/h'],
      ['9', 'kg'],
    ]);
  });

  it('leaves alone what has not changed, and takes a change of what has no sample from now on', async () => {
    const store = memorySampleStore();
    await registerSeries(store, [flow, running], START_MS);
    await registerSeries(store, [flow, running], START_MS + 5000);
    expect(await store.catalogue()).toHaveLength(2);
    await registerSeries(store, [asMass, running], START_MS + 9000);
    expect((await store.catalogue()).map(({ unit, validFromMs }) => [unit, validFromMs - START_MS])).toEqual([
      ['kg/h', 0],
      ['kg', 9000],
      ['state', 0],
    ]);
  });
});
