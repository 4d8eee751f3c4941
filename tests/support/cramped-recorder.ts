/**
 * A process that records a batch every few milliseconds and sends one again until it is taken:
 * `cramped-recorder.ts <folder>`. Prints `kept <sequence>` or the code of the refusal. Ends when its input ends.
 */
import { writeSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { openSampleStore } from '#server/history/open-sample-store.ts';
import { doomedBatch, doomedDefinitions } from './doomed-batch.ts';

const store = await openSampleStore({ folder: process.argv[2] ?? '' });
await store.register(doomedDefinitions(), 0);
const over = new AbortController();
process.stdin.on('end', () => over.abort()).resume();

for (let sequence = 0; !over.signal.aborted;) {
  try {
    await store.append(doomedBatch(sequence));
    writeSync(1, `kept ${sequence}\n`);
    sequence++;
  } catch (error) {
    writeSync(1, `${String(error).slice(0, 200)}\n`);
    await sleep(50);
  }
  await sleep(2);
}
await store.close();
