import { statSync } from 'node:fs';
import { join } from 'node:path';
import { openSampleStore } from '#server/history/open-sample-store.ts';
import type { HistoryStore } from '#server/history/open-sample-store.ts';
import type { SampleBatch } from '#server/ports/sample-store.ts';
import { definitionOf, type Block, type PlantTag } from './plant-data.ts';
import type { Subject } from './subject.ts';

const never = new AbortController().signal;

export interface OurStore extends Subject {
  readonly store: HistoryStore;
}

export async function openOurStore(folder: string, tags: readonly PlantTag[]): Promise<OurStore> {
  const store = await openSampleStore({ folder });
  const ids = await store.register(tags.map(definitionOf), 0);
  const idOf = new Map(tags.map((tag) => [tag.index, ids.get(definitionOf(tag).name) ?? -1]));
  let sequence = 0;
  return {
    store,
    load: (blocks) => store.append(batchOf(blocks, (tag) => idOf.get(tag) ?? -1, sequence++)),
    finishLoading: () => store.settle(),
    // With the log of commits, which stands beside it as long as the store is open.
    bytes: () =>
      ['history.sqlite', 'history.sqlite-wal'].reduce(
        (sum, name) => sum + statSync(join(folder, name)).size,
        0,
      ),
    async ask({ tags: asked, fromMs, toMs, buckets }) {
      let count = 0;
      const series = asked.map((tag) => idOf.get(tag) ?? -1);
      for await (const piece of store.thinned({ series, fromMs, toMs, buckets }, never))
        count += piece.timeMs.length;
      return count;
    },
    close: () => store.close(),
  };
}

function batchOf(blocks: readonly Block[], idOf: (tag: number) => number, sequence: number): SampleBatch {
  const length = blocks.reduce((sum, block) => sum + block.timeMs.length, 0);
  const batch = {
    writer: 'bench',
    sequence,
    series: new Uint32Array(length),
    timeMs: new Float64Array(length),
    value: new Float64Array(length),
    status: new Uint8Array(length),
    reason: new Uint8Array(length),
  };
  let at = 0;
  for (const { tag, timeMs, value } of blocks) {
    batch.series.fill(idOf(tag), at, at + timeMs.length);
    batch.timeMs.set(timeMs, at);
    batch.value.set(value, at);
    at += timeMs.length;
  }
  return batch;
}
