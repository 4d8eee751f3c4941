import { openEngine } from '#server/history/engine/engine.ts';
import { KEEP_ALL } from '#server/history/engine/retention.ts';
import type { CrashPoint } from '#server/history/engine/crash-point.ts';
import { packedBatch } from '#server/history/packed-batch.ts';
import { ingestBatch, TAGS } from './ingest.ts';

export interface Slices {
  /** The longest that the store worked for itself in one go, so that a commit had to wait; the disk's part apart. */
  readonly sliceMaxMs: number;
  /** The same as processor time: what it would be on a machine with nothing else to do. */
  readonly sliceCpuMaxMs: number;
  /** The longest that the disk kept it waiting at the end of a slice. */
  readonly syncMaxMs: number;
  readonly checkpointMaxMs: number;
  readonly slices: number;
}

const DAY_MS = 86_400_000;
const SECONDS_A_BATCH = 60;
/** After these the slice's transaction is committed, and after those in the second list it has been. */
const BEFORE_SYNC: readonly CrashPoint[] = [
  'block-written',
  'journal-trimmed',
  'chunks-merged',
  'rollup-written',
];
const AFTER_SYNC: readonly CrashPoint[] = [
  'slice-durable',
  'trim-durable',
  'merge-durable',
  'rollup-durable',
];

/**
 * Records `minutes` of 3,000 tags at 1 Hz with the clock going along, so that sealing, hours, days and rollups come
 * when they come in service, and times each slice of that work. All in this thread: nothing hides a wait.
 */
export function measuredSlices(folder: string, minutes: number): Slices {
  const watch = newWatch();
  // The night comes in the middle, so that the day before is merged and rolled up.
  const zeroMs = Math.floor(Date.now() / DAY_MS) * DAY_MS - (minutes / 2) * 60_000;
  let nowMs = zeroMs;
  const engine = openEngine({
    folder,
    isReadOnly: false,
    nowMs: () => nowMs,
    tickMs: () => performance.now(),
    report: () => undefined,
    reach: watch.reach,
    retention: KEEP_ALL,
  });
  const names = Array.from({ length: TAGS }, (_, i) => `quillmarsh.slices.tag${i}`);
  engine.register(
    names.map((name) => ({
      name,
      kind: 'tag',
      unit: 'A',
      interpolation: 'linear',
      resolution: 0.1,
      heldMs: 10_000,
    })),
    0,
  );
  for (let minute = 0; minute < minutes; minute++) {
    const { writer, ...columns } = ingestBatch(minute, TAGS * SECONDS_A_BATCH, zeroMs);
    const timeMs = columns.timeMs.map((_, i) => zeroMs + minute * 60_000 + Math.floor(i / TAGS) * 1000);
    engine.append([{ writer, sequence: minute, packed: packedBatch({ ...columns, timeMs }) }]);
    nowMs += 60_000;
    while (watch.timed(() => engine.maintenance.step()));
  }
  engine.close();
  return watch.found;
}

function newWatch(): {
  readonly found: Slices;
  readonly reach: (point: CrashPoint) => void;
  timed(step: () => boolean): boolean;
} {
  const found = { sliceMaxMs: 0, sliceCpuMaxMs: 0, syncMaxMs: 0, checkpointMaxMs: 0, slices: 0 };
  let workMs = 0;
  let sinceMs = 0;
  let isWriting = false;
  return {
    found,
    reach(point) {
      const nowMs = performance.now();
      const tookMs = nowMs - sinceMs;
      sinceMs = nowMs;
      if (point === 'checkpoint-done') found.checkpointMaxMs = Math.max(found.checkpointMaxMs, tookMs);
      else if (isWriting && AFTER_SYNC.includes(point)) found.syncMaxMs = Math.max(found.syncMaxMs, tookMs);
      else workMs += tookMs;
      isWriting = BEFORE_SYNC.includes(point);
    },
    timed(step) {
      workMs = 0;
      isWriting = false;
      const cpu = process.threadCpuUsage();
      sinceMs = performance.now();
      const isBusy = step();
      workMs += performance.now() - sinceMs;
      const { user, system } = process.threadCpuUsage(cpu);
      found.sliceMaxMs = Math.max(found.sliceMaxMs, workMs);
      found.sliceCpuMaxMs = Math.max(found.sliceCpuMaxMs, (user + system) / 1000);
      found.slices++;
      return isBusy;
    },
  };
}
