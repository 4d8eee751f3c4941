import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Worker } from 'node:worker_threads';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { KEEP_ALL } from '#server/history/engine/retention.ts';
import type { StoreReport } from '#server/history/engine/reports.ts';
import { packedBatch } from '#server/history/packed-batch.ts';
import { lastingLine } from '#server/history/worker/lasting-line.ts';
import { openLine, type Line } from '#server/history/worker/line.ts';
import { newHistoryWorker } from '#server/history/worker/new-history-worker.ts';
import { batchOf, flow, START_MS } from '../support/sample-builders.ts';

const never = new AbortController().signal;

describe('a line whose worker dies', () => {
  let folder: string;
  let workers: Worker[];
  let reports: StoreReport[];
  let line: Line;
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'sievewright-line-'));
    workers = [];
    reports = [];
    line = await lastingLine(
      () => {
        const worker = newHistoryWorker({ folder, isReadOnly: false, retention: KEEP_ALL });
        workers.push(worker);
        return openLine(worker, () => undefined);
      },
      (report) => reports.push(report),
    );
    await line.call('register', { definitions: [flow], fromMs: 0 });
  });
  afterEach(async () => {
    await line.close();
    rmSync(folder, { recursive: true });
  });

  function append(sequence: number): Promise<void> {
    const { writer, ...columns } = batchOf(sequence, [[1, sequence * 1000, sequence]]);
    return line.append({ writer, sequence, packed: packedBatch(columns) });
  }
  async function values(): Promise<readonly number[]> {
    const all: number[] = [];
    const request = { series: [1], fromMs: START_MS, toMs: START_MS + 60_000 };
    for await (const { value } of line.stream('raw', request, never)) all.push(...value);
    return all;
  }

  it('refuses with a reason, is there again by itself, and has lost nothing that was told durable', async () => {
    await append(0);
    await append(1);
    await workers[0]?.terminate();
    await expect(append(2)).rejects.toThrow(
      'HISTORY_UNWRITABLE history thread: got it ended with code 1, expected a running thread; ' +
        'what was durable is in the file; the thread is started again in 1 s',
    );
    await expect(values()).rejects.toThrow('HISTORY_UNWRITABLE history thread');
    expect(reports.map(({ code }) => code)).toEqual(['HISTORY_UNWRITABLE']);
    await expect.poll(() => append(2).then(() => 'taken', String), { timeout: 10_000 }).toBe('taken');
    expect(await values()).toEqual([0, 1, 2]);
    expect(workers).toHaveLength(2);
  });

  it('rejects what was under way when the worker died, and takes the same batch again', async () => {
    const underWay = append(0);
    const ended = workers[0]?.terminate();
    await underWay.catch((error: unknown) =>
      expect(String(error)).toContain('what was under way may be sent again'),
    );
    await ended;
    await expect.poll(() => append(0).then(() => 'taken', String), { timeout: 10_000 }).toBe('taken');
    expect(await values()).toEqual([0]);
  });

  it('does not start a worker after it was closed while down', async () => {
    await workers[0]?.terminate();
    await line.close();
    await expect(append(0)).rejects.toThrow('HISTORY_UNWRITABLE history thread');
    await new Promise((resolve) => setTimeout(resolve, 1500));
    expect(workers).toHaveLength(1);
  });
});
