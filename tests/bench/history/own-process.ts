/**
 * Measured in a process of its own, run as `own-process.ts <what> <folder>`, which prints one number:
 * `memory`: how many MB the process grows by 20 minutes of 3,000 tags, the thread with them;
 * `commits`: writes 200 batches, so that a tracer can count what each costs.
 */
import { openSampleStore } from '#server/history/open-sample-store.ts';
import { ingestBatch } from './ingest.ts';

const [what = '', folder = ''] = process.argv.slice(2);
const TAGS = 3000;
const MEGABYTE = 1_048_576;
const never = new AbortController().signal;

const before = process.memoryUsage.rss();
const store = await openSampleStore({ folder });
await store.register(
  Array.from({ length: TAGS }, (_, i) => ({
    name: `quillmarsh.memory.tag${i}`,
    kind: 'tag',
    unit: 'A',
    interpolation: 'linear',
    resolution: 0.1,
    heldMs: 10_000,
  })),
  0,
);
if (what === 'memory') await recordAndAsk();
else
  for (let sequence = 0; sequence < 200; sequence++)
    await store.append(ingestBatch(sequence, TAGS, Date.now()));
await store.close();

async function recordAndAsk(): Promise<void> {
  const startMs = Math.floor(Date.now() / 600_000) * 600_000 - 1_200_000;
  let most = 0;
  for (let second = 0; second < 1200; second++) {
    await store.append(ingestBatch(second, TAGS, startMs));
    if (second % 60 !== 0) continue;
    const series = Array.from({ length: 20 }, (_, i) => i * 100 + 1);
    for await (const piece of store.thinned(
      { series, fromMs: startMs, toMs: Date.now(), buckets: 500 },
      never,
    )) {
      most = Math.max(most, piece.timeMs.length > 0 ? process.memoryUsage.rss() : 0);
    }
  }
  process.stdout.write(`${(most - before) / MEGABYTE}\n`);
}
