/**
 * A process that records as fast as it can until it is killed, by others or by itself at a given point:
 * `doomed-recorder.ts <folder> <point or -> <how many times the point is reached before>`.
 * Each durable batch is told on the standard output by its sequence. Run by `crash-runs.ts`.
 */
import { writeSync } from 'node:fs';
import { openEngine } from '#server/history/engine/engine.ts';
import { KEEP_ALL } from '#server/history/engine/retention.ts';
import { packedBatch } from '#server/history/packed-batch.ts';
import { doomedBatch, doomedDefinitions, DOOMED_START_MS, DOOMED_WRITER } from './doomed-batch.ts';

const [folder = '', point = '-', passes = '0'] = process.argv.slice(2);
const LATE_ENOUGH_MS = 3 * 86_400_000;
let left = Number(passes);

let nowMs = DOOMED_START_MS + LATE_ENOUGH_MS;
const engine = openEngine({
  folder,
  isReadOnly: false,
  nowMs: () => nowMs,
  tickMs: () => performance.now(),
  report: ({ code }) => writeSync(2, `${code}\n`),
  retention: KEEP_ALL,
  reach: (reached) => {
    if (reached !== point || left-- > 0) return;
    writeSync(1, 'cut\n');
    process.kill(process.pid, 'SIGKILL');
  },
});
engine.register(doomedDefinitions(), 0);

for (let sequence = engine.lastSequence(DOOMED_WRITER) + 1; ; sequence++) {
  const { writer, ...columns } = doomedBatch(sequence);
  engine.append([{ writer, sequence, packed: packedBatch(columns) }]);
  writeSync(1, `${sequence}\n`);
  // Two minutes pass with each batch, so that sealing, merging and rolling up go on all the time.
  nowMs += 120_000;
  engine.maintenance.step();
  if (sequence % 40 === 39) while (engine.maintenance.settle());
}
