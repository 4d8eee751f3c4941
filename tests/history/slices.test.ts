import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import type { CrashPoint } from '#server/history/engine/crash-point.ts';
import { batchOf, flow, START_MS, type SampleRow } from '../support/sample-builders.ts';
import { newHarness } from './engine-harness.ts';

const SERIES = 40;
const DAY_MS = 86_400_000;

describe('upkeep in slices', () => {
  it('ends each slice when its time is over, however many series wait, and the next goes on from there', () => {
    const harness = newHarness(START_MS + 3 * DAY_MS);
    try {
      harness.engine.register(
        Array.from({ length: SERIES }, (_, i) => ({ ...flow, name: `${flow.name}${i}` })),
        0,
      );
      for (let day = 0; day < 2; day++) {
        const rows = Array.from({ length: SERIES }, (_, i): SampleRow => [i + 1, day * DAY_MS, i]);
        harness.append(batchOf(day, rows));
      }
      const changes = changesAt(harness, { 'slice-durable': 'chunk', 'rollup-durable': 'rollup_1m' });
      harness.settle();
      // The harness's clock rises by 6 ms with each look and a slice has 12: by hand, two looks and one block before.
      const chunks = changes('slice-durable');
      expect(Math.max(...chunks)).toBeLessThanOrEqual(3);
      expect(chunks.reduce((sum, count) => sum + count)).toBe(2 * SERIES);
      const rollups = changes('rollup-durable');
      expect(Math.max(...rollups)).toBe(1);
      expect(rollups).toHaveLength(2 * SERIES);
    } finally {
      harness.remove();
    }
  });
});

/** How many rows were new in a table each time that a point was reached. */
function changesAt(
  harness: ReturnType<typeof newHarness>,
  tables: Readonly<Partial<Record<CrashPoint, string>>>,
): (point: CrashPoint) => readonly number[] {
  const database = new DatabaseSync(join(harness.folder, 'history.sqlite'), { readOnly: true });
  const counts = new Map<CrashPoint, number[]>();
  harness.reach = (point) => {
    const table = tables[point];
    if (table === undefined) return;
    const row = database.prepare(`SELECT count(*) AS n FROM ${table}`).get();
    counts.set(point, [...(counts.get(point) ?? []), Number(row?.['n'])]);
  };
  return (point) => {
    if (database.isOpen) database.close();
    harness.reach = () => undefined;
    const all = counts.get(point) ?? [];
    return all.map((count, i) => count - (all[i - 1] ?? 0));
  };
}
