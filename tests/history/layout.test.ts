import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { prepareFile } from '#server/history/engine/schema.ts';
import { openSqliteFile } from '#server/history/engine/sqlite-file.ts';
import { checkHistory } from '#server/history/upkeep/check-history.ts';
import { batchOf, flow, running, START_MS, type SampleRow } from '../support/sample-builders.ts';
import { newHarness, type Harness } from './engine-harness.ts';

const HOUR_MS = 3_600_000;
const request = { series: 1, fromMs: START_MS, toMs: START_MS + 48 * HOUR_MS, buckets: 48 };

describe('the layout of the file', () => {
  let harness: Harness;
  beforeEach(() => {
    harness = newHarness(START_MS + 72 * HOUR_MS);
    harness.engine.register([flow, running], 0);
    harness.append(batchOf(0, hourly(0)));
    harness.settle();
  });
  afterEach(() => harness.remove());

  function fileText(sql: string): void {
    const database = new DatabaseSync(join(harness.folder, 'history.sqlite'));
    database.exec(sql);
    database.close();
  }

  it('is brought from version 1 to 2: its rollups, which say less, are made anew from the chunks', () => {
    const before = harness.thinned(request);
    harness.engine.close();
    fileText(
      "UPDATE rollup_1m SET data = x'0102'; UPDATE rollup_1h SET data = x'0102'; PRAGMA user_version = 1",
    );
    expect(() => checkHistory(harness.folder, { repairs: false })).toThrow(
      'version 1, expected application 1400272756, version 2; start the server on it once, which brings it to this version',
    );
    harness.reopenClosed();
    harness.settle();
    expect(harness.thinned(request)).toEqual(before);
    expect(checkHistory(harness.folder, { repairs: false })).toMatchObject({ damage: [], rollups: 6 });
    expect(harness.reports).toEqual([]);
  });

  it('is refused in version 1 when the samples behind its rollups have gone', () => {
    harness.engine.close();
    fileText('INSERT INTO horizon VALUES (1, 5000); PRAGMA user_version = 1');
    expect(() => harness.reopenClosed()).toThrow(
      'layout: got version 1, of which samples were dropped by age or size, expected application 1400272756, version 2; ' +
        'its rollups cannot be made anew: move the file away, or run the program version that wrote it',
    );
    fileText('DELETE FROM horizon');
    harness.reopenClosed();
  });

  it('is refused in a version to come', () => {
    harness.engine.close();
    fileText('PRAGMA user_version = 3');
    expect(() => harness.reopenClosed()).toThrow(
      'version 3, expected application 1400272756, version 2; move the',
    );
    fileText('PRAGMA user_version = 2');
    harness.reopenClosed();
  });

  it('is not opened where commits would not wait for the disk', () => {
    harness.engine.close();
    const path = join(harness.folder, 'history.sqlite');
    const file = openSqliteFile({ path, isReadOnly: false, busyMs: 0 });
    const hasty = {
      ...file,
      exec: (sql: string) => file.exec(sql.replace('synchronous = FULL', 'synchronous = NORMAL')),
    };
    expect(() => prepareFile(hasty, path)).toThrow(
      'synchronous: got 1, expected 2 (FULL); readings would not survive a power cut, so the history is not opened',
    );
    file.close();
    harness.reopenClosed();
  });

  it('voids the rollup of a day as often as a sample comes late, also within one minute', () => {
    for (const [sequence, value] of [100, 200, 300].entries()) {
      harness.append(batchOf(10 + sequence, [[1, 1000 + sequence, value]]));
      harness.settle();
      const { max, count } = harness.thinned(request);
      expect([max[0], count[0]]).toEqual([value, 2 + sequence]);
    }
  });
});

function hourly(from: number): readonly SampleRow[] {
  return Array.from({ length: 48 }, (_, hour): SampleRow => [1, (from + hour) * HOUR_MS, hour % 7]);
}
