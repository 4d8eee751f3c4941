import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openEngine, type Engine } from '#server/history/engine/engine.ts';
import { KEEP_ALL, type Retention } from '#server/history/engine/retention.ts';
import type { Reach } from '#server/history/engine/crash-point.ts';
import type { StoreReport } from '#server/history/engine/reports.ts';
import { packedBatch } from '#server/history/packed-batch.ts';
import type { RawColumns, SampleBatch, SeriesId, ThinnedColumns } from '#server/ports/sample-store.ts';
import type { PlainSample } from '../support/naive-buckets.ts';

/** An engine on a folder of its own, with a clock that stands where it is put. */
export interface Harness {
  readonly folder: string;
  readonly reports: readonly StoreReport[];
  engine: Engine;
  nowMs: number;
  reach: Reach;
  append(batch: SampleBatch): void;
  /** Works through what is due at the clock's time. */
  rest(): void;
  settle(): void;
  reopen(): void;
  /** After the test itself has closed the engine. */
  reopenClosed(): void;
  raw(series: SeriesId, fromMs: number, toMs: number): readonly PlainSample[];
  thinned(request: { series: SeriesId; fromMs: number; toMs: number; buckets: number }): ThinnedColumns;
  remove(): void;
}

export function newHarness(nowMs: number, retention: Retention = KEEP_ALL): Harness {
  const folder = mkdtempSync(join(tmpdir(), 'sievewright-engine-'));
  const reports: StoreReport[] = [];
  let tick = 0;
  const open = (): Engine =>
    openEngine({
      folder,
      isReadOnly: false,
      nowMs: () => harness.nowMs,
      // Rises by half a slice with each look, so that slices end in the middle of work.
      tickMs: () => (tick += 6),
      report: (report) => reports.push(report),
      reach: (point) => harness.reach(point),
      retention,
    });
  const harness: Harness = {
    folder,
    reports,
    nowMs,
    reach: () => undefined,
    // Set below, since opening needs the harness.
    engine: undefined as unknown as Engine,
    append: ({ writer, sequence, ...columns }) =>
      harness.engine.append([{ writer, sequence, packed: packedBatch(columns) }]),
    rest() {
      tick += 120_000;
      while (harness.engine.maintenance.step());
    },
    settle() {
      while (harness.engine.maintenance.settle());
    },
    reopen() {
      harness.engine.close();
      harness.engine = open();
    },
    reopenClosed() {
      harness.engine = open();
    },
    raw(series, fromMs, toMs) {
      const pieces = [...harness.engine.raw({ series: [series], fromMs, toMs })];
      return pieces.filter((piece) => piece !== null).flatMap(plain);
    },
    thinned({ series, ...request }) {
      const [only] = [...harness.engine.thinned({ series: [series], ...request })].filter(
        (piece) => piece !== null,
      );
      if (only === undefined) throw new Error('no answer');
      return only;
    },
    remove() {
      harness.engine.close();
      rmSync(folder, { recursive: true });
    },
  };
  harness.engine = open();
  return harness;
}

function plain({ timeMs, value, status, reason }: RawColumns): readonly PlainSample[] {
  return Array.from(timeMs, (time, i) => ({
    timeMs: time,
    value: value[i] ?? NaN,
    status: status[i] ?? 0,
    reason: reason[i] ?? 0,
  }));
}
