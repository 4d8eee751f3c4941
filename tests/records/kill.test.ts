import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { aMark, said } from '#tests/support/record-builders.ts';
import { SEED } from '#tests/support/seed.ts';
import { recordsFolder } from './records-folder.ts';

const WRITER = fileURLToPath(new URL('write-until-killed.ts', import.meta.url));
const ENTRIES_MAX = 20_000;
const newFile = recordsFolder();
const EVER = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

/** Kills the writer with no warning right after it has said so many entries; answers the last one it said. */
async function writeThenKill(file: string, afterEntries: number): Promise<number> {
  const writer = spawn(process.execPath, [WRITER, file, String(ENTRIES_MAX)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const ended = once(writer, 'exit');
  let last = -1;
  for await (const line of createInterface({ input: writer.stdout })) {
    last = Number(line);
    if (last === afterEntries) writer.kill('SIGKILL');
  }
  expect(await ended).toEqual([null, 'SIGKILL']);
  return last;
}

describe('the records after kill -9', () => {
  // The instants differ from run to run of the loop, whose steps are no longer than a commit.
  const kills = [0, 1, 2, 3, 4].map((index) => 3 + ((SEED * (index + 1)) % 97));

  it.each(kills)('hold every acknowledged entry, and no half-written one: killed after %i', async (after) => {
    const file = newFile();
    const last = await writeThenKill(file, after);
    expect(last).toBeGreaterThanOrEqual(after);

    const store = openRecordStore({ file });
    const marks = (await store.marks(EVER)).map(({ text }) => Number(text));
    const lots = (await store.lots(EVER)).map(({ number }) => Number(number));
    const transitions = (await store.alarmJournal(EVER)).map(({ alarm }) => Number(alarm));
    const standing = (await store.standingAlarms()).map(({ id }) => Number(id));

    // The writer may have been in the entry after the last one it said, in any of its three writes.
    for (const kept of [marks, lots, transitions]) {
      expect(kept).toEqual(kept.map((_, index) => index));
      expect(kept.length).toBeGreaterThanOrEqual(last + 1);
      expect(kept.length).toBeLessThanOrEqual(last + 2);
    }
    expect(standing).toEqual(transitions);
    expect(await store.runningLots()).toHaveLength(1);
    await expect(store.writeMark(aMark(), said(1000))).resolves.toMatchObject({
      writtenMs: said(1000).timeMs,
    });
    await store.close();
  });
});
