import { dirname, join, resolve } from 'node:path';
import { restoreHistory } from '../history/upkeep/backup-history.ts';
import { expectSoundRecords } from '../records/back-up-records.ts';
import type { PlantPlace } from './back-up-everything.ts';
import { HISTORY_FOLDER, provenBackupList, RECORDS_FILE } from './backup-list.ts';
import { putInPlace } from './put-in-place.ts';

export interface RestoreOptions {
  readonly from: string;
  readonly nowMs: number;
  /** Leaves the configuration as it is. */
  readonly keepsConfig: boolean;
}

export interface Restored {
  readonly madeAt: string;
  /** What was there before, under the names it has now. */
  readonly kept: readonly string[];
}

/**
 * Puts a backup in the place of history, records and configuration; no server may be running. All of it is proved
 * before anything is touched, and the history goes first: it is the one that refuses while a server records.
 */
export async function restoreEverything(place: PlantPlace, options: RestoreOptions): Promise<Restored> {
  const { from, nowMs, keepsConfig } = options;
  const list = await provenBackupList(from);
  expectSoundRecords(join(from, RECORDS_FILE));
  const kept = [
    restoreHistory(join(from, HISTORY_FOLDER), join(place.data, 'history'), nowMs),
    putInPlace(join(from, RECORDS_FILE), join(place.data, 'records.sqlite'), {
      nowMs,
      companions: ['-wal', '-shm'],
    }),
  ];
  if (!keepsConfig) {
    for (const [index, { named, stored }] of list.config.entries()) {
      const path = index === 0 ? place.config : resolve(dirname(place.config), named);
      kept.push(putInPlace(join(from, stored), path, { nowMs, companions: [] }));
    }
  }
  return { madeAt: list.madeAt, kept: kept.filter((name) => name !== null) };
}
