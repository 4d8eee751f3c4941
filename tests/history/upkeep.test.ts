import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { backupHistory, restoreHistory } from '#server/history/upkeep/backup-history.ts';
import { checkHistory } from '#server/history/upkeep/check-history.ts';
import { batchOf, flow, running, START_MS, type SampleRow } from '../support/sample-builders.ts';
import { newHarness, type Harness } from './engine-harness.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const elsewhere = mkdtempSync(join(tmpdir(), 'sievewright-upkeep-'));

describe('upkeep of the history', () => {
  let harness: Harness;
  beforeEach(() => {
    harness = newHarness(START_MS + 30 * DAY_MS);
    harness.engine.register([flow, running], 0);
    for (let day = 0; day < 4; day++) harness.append(batchOf(day, dayOfReadings(day)));
  });
  afterEach(() => {
    harness.remove();
    rmSync(elsewhere, { recursive: true, force: true });
  });

  function fileText(sql: string): void {
    const database = new DatabaseSync(join(harness.folder, 'history.sqlite'));
    database.exec(sql);
    database.close();
  }
  function allOf(target: Harness) {
    return [target.raw(1, 0, START_MS + 9 * DAY_MS), target.raw(2, 0, START_MS + 9 * DAY_MS)];
  }

  it('finds nothing wrong with a history that was written, sealed and rolled up', () => {
    harness.settle();
    harness.append(batchOf(9, [[1, 8 * DAY_MS, 1]]));
    const result = checkHistory(harness.folder, { repairs: false });
    expect(result).toMatchObject({ damage: [], pages: [], journalRows: 1, rollups: 20 });
  });

  it('moves a damaged chunk to quarantine and loses nothing else', () => {
    harness.settle();
    const before = allOf(harness);
    harness.engine.close();
    fileText(`UPDATE chunk SET data = CAST(zeroblob(20) || substr(data, 21) AS BLOB)
              WHERE id = (SELECT id FROM chunk WHERE id >> 26 = 1 ORDER BY id LIMIT 1 OFFSET 1)`);
    const found = checkHistory(harness.folder, { repairs: true });
    expect(found.damage.map(({ table, because }) => ({ table, because }))).toEqual([
      { table: 'chunk', because: 'format is 0, not 1' },
    ]);
    expect(checkHistory(harness.folder, { repairs: false }).damage).toEqual([]);
    harness.reopenClosed();
    harness.settle();
    const after = allOf(harness);
    const there = new Set(after[0]?.map(({ timeMs }) => timeMs));
    const lost = before[0]?.filter(({ timeMs }) => !there.has(timeMs)) ?? [];
    // One chunk is the day's: all of it, and nothing of another day or series.
    expect(lost.length).toBeGreaterThan(0);
    expect(new Set(lost.map(({ timeMs }) => Math.floor(timeMs / DAY_MS))).size).toBe(1);
    expect(after[1]).toEqual(before[1]);
  });

  it('keeps the sound parts of a damaged chunk: of a day of 8,640 samples it loses 448', () => {
    harness.settle();
    const before = allOf(harness);
    harness.engine.close();
    // By hand: parts of 4,096, so the last of the day, whose last bytes these are, has 448. The first day is 6 h short.
    fileText(`UPDATE chunk SET data = CAST(substr(data, 1, length(data) - 8) || zeroblob(8) AS BLOB)
              WHERE id = (SELECT id FROM chunk WHERE id >> 26 = 1 ORDER BY id LIMIT 1 OFFSET 1)`);
    expect(checkHistory(harness.folder, { repairs: true }).damage).toHaveLength(1);
    expect(checkHistory(harness.folder, { repairs: false }).damage).toEqual([]);
    harness.reopenClosed();
    harness.settle();
    const after = new Set(harness.raw(1, 0, START_MS + 9 * DAY_MS).map(({ timeMs }) => timeMs));
    expect(before[0]?.filter(({ timeMs }) => !after.has(timeMs))).toHaveLength(448);
  });

  it('answers around a damaged chunk and says so, before anybody repairs it', () => {
    harness.settle();
    fileText(`UPDATE chunk SET data = substr(data, 1, 30) WHERE id = (SELECT min(id) FROM chunk)`);
    expect(harness.raw(1, 0, START_MS + 9 * DAY_MS).length).toBeGreaterThan(0);
    expect(harness.reports.map(({ code }) => code)).toEqual(['HISTORY_DAMAGED']);
  });

  it('restores from a backup what answers the same, and keeps what was there', () => {
    harness.settle();
    harness.append(batchOf(7, [[1, 5 * DAY_MS, 77]]));
    const before = allOf(harness);
    backupHistory(harness.folder, elsewhere);
    // Comes after the backup, so the restored history does not have it.
    harness.append(batchOf(8, [[1, 5 * DAY_MS + 1000, 88]]));
    expect(allOf(harness)).not.toEqual(before);
    harness.engine.close();
    const kept = restoreHistory(elsewhere, harness.folder, 1);
    harness.reopenClosed();
    expect(allOf(harness)).toEqual(before);
    expect(kept).toBe(join(harness.folder, 'history.sqlite.before-restore-1'));
  });

  it('refuses to back up over another backup, and to restore while the server records', () => {
    backupHistory(harness.folder, elsewhere);
    expect(() => backupHistory(harness.folder, elsewhere)).toThrow('DATA_FOLDER target folder: got ');
    expect(() => restoreHistory(elsewhere, harness.folder, 1)).toThrow('DATA_FOLDER ');
    expect(() => checkHistory(harness.folder, { repairs: true })).toThrow('database is locked');
  });
});

describe('retention', () => {
  it('drops samples by age and class, keeps their rollups, and refuses samples of days that are gone', () => {
    const harness = newHarness(START_MS + 4 * DAY_MS, {
      classes: [
        { interpolation: 'step', keepRawMs: null, keepRollupsMs: null },
        { keepRawMs: 2 * DAY_MS, keepRollupsMs: null },
      ],
      mostBytes: null,
    });
    try {
      harness.engine.register([flow, running], 0);
      for (let day = 0; day < 4; day++) harness.append(batchOf(day, dayOfReadings(day)));
      const request = { series: 1, fromMs: START_MS, toMs: START_MS + 4 * DAY_MS, buckets: 50 };
      const before = harness.thinned(request);
      harness.settle();
      const oldest = harness.raw(1, 0, START_MS + 9 * DAY_MS)[0]?.timeMs ?? 0;
      expect(oldest).toBeGreaterThanOrEqual(START_MS + DAY_MS);
      expect(harness.raw(2, 0, START_MS + 9 * DAY_MS)[0]?.timeMs).toBeLessThan(START_MS + HOUR_MS);
      expect([...harness.thinned(request).count]).toEqual([...before.count]);
      harness.append(
        batchOf(10, [
          [1, 1000, 5],
          [1, 3 * DAY_MS + 500, 5],
        ]),
      );
      expect(harness.reports[0]?.parts.got).toContain('1 samples of such times');
      harness.settle();
      expect([...harness.thinned(request).count].reduce((a, b) => a + b)).toBe(
        [...before.count].reduce((a, b) => a + b) + 1,
      );
    } finally {
      harness.remove();
    }
  });

  it('does not take a clock that jumps ten years ahead for ten years of history', () => {
    const harness = newHarness(START_MS + 4 * DAY_MS, {
      classes: [{ keepRawMs: 30 * DAY_MS, keepRollupsMs: null }],
      mostBytes: null,
    });
    try {
      harness.engine.register([flow, running], 0);
      for (let day = 0; day < 4; day++) harness.append(batchOf(day, dayOfReadings(day)));
      const before = harness.raw(1, 0, START_MS + 9 * DAY_MS);
      harness.nowMs += 3650 * DAY_MS;
      harness.settle();
      expect(harness.raw(1, 0, START_MS + 9 * DAY_MS)).toEqual(before);
    } finally {
      harness.remove();
    }
  });

  it('drops the oldest days while the file is larger than it may be', () => {
    const harness = newHarness(START_MS + 8 * DAY_MS, { classes: [], mostBytes: 150_000 });
    try {
      harness.engine.register([flow, running], 0);
      for (let day = 0; day < 8; day++) harness.append(batchOf(day, dayOfReadings(day)));
      harness.settle();
      const rest = harness.raw(1, 0, START_MS + 9 * DAY_MS);
      expect(rest.length).toBeGreaterThan(0);
      expect(rest[0]?.timeMs).toBeGreaterThan(START_MS + 2 * DAY_MS);
    } finally {
      harness.remove();
    }
  });
});

/** One reading every 10 s of the flow, every 10 min of the contact; noisy, so that it needs room. */
function dayOfReadings(day: number): readonly SampleRow[] {
  const flows = Array.from({ length: 8640 }, (_, i): SampleRow => [
    1,
    day * DAY_MS + i * 10_000,
    noise(day * 8640 + i),
  ]);
  const contacts = Array.from({ length: 144 }, (_, i): SampleRow => [2, day * DAY_MS + i * 600_000, i % 2]);
  return [...flows, ...contacts];
}

function noise(i: number): number {
  return ((Math.imul(i + 1, 0x9e3779b1) ^ Math.imul(i, 0x85ebca6b)) >>> 0) % 1000;
}
