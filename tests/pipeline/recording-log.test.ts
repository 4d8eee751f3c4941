import { describe, expect, it } from 'vitest';
import type { RecordingStatus } from '#server/contract/link-status.ts';
import { RecordingLog } from '#server/pipeline/recording-log.ts';

const FINE: RecordingStatus = { isRecording: true, sinceMs: 0, waitingCount: 0, lostCount: 0, because: null };
const FULL = {
  ...FINE,
  isRecording: false,
  sinceMs: 1000,
  because: 'HISTORY_UNWRITABLE history: got a full disk',
};

function logOn(free: number | null) {
  const lines: string[] = [];
  const log = new RecordingLog({
    log: (text) => void lines.push(text),
    freeBytes: () => Promise.resolve(free),
    waitingCountMax: 2_000_000,
  });
  return { lines, log };
}

describe('RecordingLog', () => {
  it('says nothing while readings are kept', async () => {
    const { lines, log } = logOn(1e9);
    await log.note(FINE, 0);
    await log.note(FINE, 1000);
    expect(lines).toEqual([]);
  });

  it('says with numbers that they are not, again every ten minutes, and how it ended', async () => {
    const { lines, log } = logOn(1_500_000);
    await log.note({ ...FULL, waitingCount: 40 }, 2000);
    for (const nowMs of [3000, 300_000, 601_999]) await log.note({ ...FULL, waitingCount: 50 }, nowMs);
    expect(lines).toEqual([
      'HISTORY_UNWRITABLE history: got a full disk (for 1 s; 40 of at most 2000000 samples wait in memory, 0 lost; 1.5 MB of disk free); live view and alarms go on',
    ]);
    await log.note({ ...FULL, waitingCount: 90_000, lostCount: 7 }, 602_000);
    expect(lines[1]).toContain('(for 601 s; 90000 of at most 2000000 samples wait in memory, 7 lost; ');
    await log.note({ ...FINE, sinceMs: 700_000, lostCount: 7 }, 701_000);
    await log.note(FINE, 702_000);
    expect(lines.slice(2)).toEqual([
      'HISTORY_UNWRITABLE history, for 700 s [samples]: got 90000 waited, 7 lost, expected none lost; readings are kept again, those that waited too',
    ]);
  });

  it('says so when the free space cannot be told', async () => {
    const { lines, log } = logOn(null);
    await log.note(FULL, 2000);
    expect(lines[0]).toContain('free disk space not known');
  });
});
