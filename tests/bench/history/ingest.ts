import { DatabaseSync } from 'node:sqlite';
import { openSampleStore } from '#server/history/open-sample-store.ts';
import type { SampleBatch } from '#server/ports/sample-store.ts';

export const TAGS = 3000;
const SAMPLES_A_COMMIT = 500_000;

/** Durable readings a second: 3,000 tags, batches of a second's worth, sealing and merging going on meanwhile. */
export async function ourDurablePerSecond(folder: string, seconds: number): Promise<number> {
  const store = await openSampleStore({ folder });
  await store.register(
    Array.from({ length: TAGS }, (_, i) => ({
      name: `quillmarsh.ingest.tag${i}`,
      kind: 'tag',
      unit: 'A',
      interpolation: 'linear',
      resolution: 0.1,
      heldMs: 10_000,
    })),
    0,
  );
  const zeroMs = Math.floor(Date.now() / 60_000) * 60_000;
  const startMs = performance.now();
  const underWay: Promise<void>[] = [];
  let count = 0;
  for (let sequence = 0; performance.now() - startMs < seconds * 1000; sequence++) {
    underWay.push(store.append(ingestBatch(sequence, SAMPLES_A_COMMIT, zeroMs)));
    count += SAMPLES_A_COMMIT;
    // Two under way: one is written while the next is made.
    if (underWay.length > 1) await underWay.shift();
  }
  await Promise.all(underWay);
  const perSecond = (count * 1000) / (performance.now() - startMs);
  await store.close();
  return perSecond;
}

/** The same readings as rows, a second's worth in each durable transaction. */
export function rowsDurablePerSecond(path: string, seconds: number): number {
  const database = new DatabaseSync(path);
  database.exec('PRAGMA page_size = 16384; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL');
  database.exec(
    'CREATE TABLE reading (tag INTEGER, t INTEGER, v REAL, s INTEGER, PRIMARY KEY (tag, t)) WITHOUT ROWID',
  );
  const insert = database.prepare('INSERT INTO reading VALUES (?, ?, ?, 0)');
  const startMs = performance.now();
  let count = 0;
  for (let sequence = 0; performance.now() - startMs < seconds * 1000; sequence++) {
    const { series, timeMs, value } = ingestBatch(sequence, TAGS * 10, 0);
    database.exec('BEGIN');
    for (const [i, tag] of series.entries()) insert.run(tag, timeMs[i] ?? 0, value[i] ?? 0);
    database.exec('COMMIT');
    count += series.length;
  }
  const perSecond = (count * 1000) / (performance.now() - startMs);
  database.close();
  return perSecond;
}

export function ingestBatch(sequence: number, length: number, zeroMs: number): SampleBatch {
  const index = Uint32Array.from({ length }, (_, i) => i);
  const each = length / TAGS;
  return {
    writer: 'ingest',
    sequence,
    series: index.map((i) => (i % TAGS) + 1),
    timeMs: Float64Array.from(
      index,
      (i) => zeroMs + sequence * 1000 + Math.floor((Math.floor(i / TAGS) * 1000) / each),
    ),
    value: Float64Array.from(
      index,
      (i) => Math.round(400 + 30 * Math.sin((i + sequence * 77) / 9000) + ((i * 7919) % 17)) / 10,
    ),
    status: new Uint8Array(length),
    reason: new Uint8Array(length),
  };
}
