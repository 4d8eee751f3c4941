import type { BucketQuestion } from './subject.ts';
import { ingestBatch } from './ingest.ts';
import type { OurStore } from './our-store.ts';

const BATCHES_A_SECOND = 4;

/**
 * The longest time that the main thread's event loop stood still, with 3,000 readings a second coming in and
 * queries running all the time. Looked at every millisecond or so; what the loop does without the store, is measured too.
 */
export async function loopDelays(
  { store, ask }: OurStore,
  question: BucketQuestion,
  seconds: number,
): Promise<{ readonly withStoreMs: number; readonly withoutMs: number }> {
  const length = 3000 / BATCHES_A_SECOND;
  const ready = Array.from({ length: seconds * BATCHES_A_SECOND }, (_, i) => {
    const batch = ingestBatch(i, 3000, Date.now());
    const part = (column: Float64Array): Float64Array => column.subarray(0, length);
    return {
      writer: 'paced',
      sequence: i,
      series: batch.series.subarray(0, length).map((series) => (series % 300) + 1),
      timeMs: part(batch.timeMs),
      value: part(batch.value),
      status: batch.status.subarray(0, length),
      reason: batch.reason.subarray(0, length),
    };
  });
  const withoutMs = await longestStop(() => undefined, seconds / 3);
  const over = new AbortController();
  const asking = (async () => {
    while (!over.signal.aborted) await ask(question);
  })();
  const writes: Promise<void>[] = [];
  const timer = setInterval(() => {
    const batch = ready.shift();
    if (batch !== undefined) writes.push(store.append(batch));
  }, 1000 / BATCHES_A_SECOND);
  const withStoreMs = await longestStop(() => undefined, seconds);
  clearInterval(timer);
  over.abort();
  await asking;
  await Promise.all(writes);
  return { withStoreMs, withoutMs };
}

function longestStop(each: () => void, seconds: number): Promise<number> {
  const endMs = performance.now() + seconds * 1000;
  let longestMs = 0;
  let lastMs = performance.now();
  return new Promise((resolve) => {
    const look = (): void => {
      const nowMs = performance.now();
      longestMs = Math.max(longestMs, nowMs - lastMs - 1);
      lastMs = nowMs;
      each();
      if (nowMs < endMs) setTimeout(look, 1);
      else resolve(longestMs);
    };
    setTimeout(look, 1);
  });
}
