import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import { batchOf, flow, running, START_MS, type SampleRow } from '../support/sample-builders.ts';
import { newHarness } from './engine-harness.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

describe('the running day', () => {
  it('has one chunk for each hour that is over by a quarter, and answers as before', () => {
    const harness = newHarness(START_MS);
    try {
      harness.engine.register([flow, running], 0);
      for (let minute = 0; minute < 150; minute += 10) {
        harness.append(batchOf(minute, tenMinutes(minute)));
        harness.nowMs += 10 * MINUTE_MS;
        harness.rest();
      }
      // By hand: 150 minutes after the start two hours are over; the third is in chunks of ten minutes.
      const spans = spansIn(harness.folder);
      expect(spans.filter((span) => span === 60)).toHaveLength(2);
      expect(spans.filter((span) => span !== 60).every((span) => span === 10)).toBe(true);
      const all = harness.raw(1, START_MS, START_MS + 3 * HOUR_MS);
      expect(all.map(({ value }) => value)).toEqual(Array.from({ length: 9000 }, (_, i) => i / 10));
    } finally {
      harness.remove();
    }
  });

  it('keeps a reading that comes late for an hour that was merged', () => {
    const harness = newHarness(START_MS);
    try {
      harness.engine.register([flow, running], 0);
      for (let minute = 0; minute < 60; minute += 10) harness.append(batchOf(minute, tenMinutes(minute)));
      harness.nowMs += 80 * MINUTE_MS;
      harness.rest();
      harness.append(batchOf(1000, [[1, 500, 777]]));
      harness.nowMs += 30 * MINUTE_MS;
      harness.rest();
      expect(harness.raw(1, START_MS, START_MS + 1001).map(({ value }) => value)).toEqual([0, 777, 0.1]);
    } finally {
      harness.remove();
    }
  });
});

/** One reading a second, each a tenth above the one before. */
function tenMinutes(minute: number): readonly SampleRow[] {
  return Array.from({ length: 600 }, (_, i): SampleRow => [
    1,
    minute * MINUTE_MS + i * 1000,
    (minute * 60 + i) / 10,
  ]);
}

function spansIn(folder: string): readonly unknown[] {
  const database = new DatabaseSync(join(folder, 'history.sqlite'), { readOnly: true });
  const rows = database.prepare('SELECT span FROM chunk ORDER BY id').all();
  database.close();
  return rows.map(({ span }) => span);
}
