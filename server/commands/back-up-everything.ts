import { existsSync, mkdirSync, readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { configFiles } from '../config/config-files.ts';
import { Fault } from '../contract/faults.ts';
import { backupHistory } from '../history/upkeep/backup-history.ts';
import type { CheckResult } from '../history/upkeep/check-history.ts';
import { backUpRecords } from '../records/back-up-records.ts';
import {
  CONFIG_FOLDER,
  HISTORY_FOLDER,
  RECORDS_FILE,
  writeBackupList,
  type BackupList,
} from './backup-list.ts';
import { copyDurably } from './put-in-place.ts';

/** What a plant consists of on this machine. */
export interface PlantPlace {
  readonly data: string;
  readonly config: string;
}

export interface BackupMade {
  readonly list: BackupList;
  readonly history: CheckResult;
}

/**
 * Copies history, records and configuration into a folder of their own, while the server goes on. History and records
 * are each as they were at one instant, some seconds apart; the list that makes the backup complete comes last.
 */
export async function backUpEverything(place: PlantPlace, to: string, nowMs: number): Promise<BackupMade> {
  expectEmpty(to);
  const config = await storedNames(place.config);
  return writingTo(to, async () => {
    mkdirSync(join(to, CONFIG_FOLDER), { recursive: true });
    for (const { path, stored } of config) copyDurably(path, join(to, stored));
    const history = backupHistory(join(place.data, 'history'), join(to, HISTORY_FOLDER));
    backUpRecords(join(place.data, 'records.sqlite'), join(to, RECORDS_FILE));
    const list = await writeBackupList(
      to,
      [join(HISTORY_FOLDER, 'history.sqlite'), RECORDS_FILE, ...config.map(({ stored }) => stored)],
      {
        madeAt: new Date(nowMs).toISOString(),
        config: config.map(({ named, stored }) => ({ named, stored })),
      },
    );
    return { list, history };
  });
}

/** Each file of the configuration with a name in the backup; two of one name, from different folders, get numbers. */
async function storedNames(plantFile: string) {
  const files = await configFiles(plantFile);
  return files.map(({ named, path }, index) => {
    const name = basename(path);
    const isTaken = files.findIndex((other) => basename(other.path) === name) < index;
    return { named, path, stored: join(CONFIG_FOLDER, isTaken ? `${index}-${name}` : name) };
  });
}

function expectEmpty(to: string): void {
  if (!existsSync(to) || readdirSync(to).length === 0) return;
  throw new Fault('DATA_FOLDER', {
    subject: to,
    got: 'a folder with something in it',
    expected: 'a new or an empty folder',
    remedy: 'nothing is backed up; name another with --to',
  });
}

/** A target without room, or one that cannot be written, is told as what it is. */
async function writingTo<Result>(to: string, work: () => Promise<Result>): Promise<Result> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof Fault || !(error instanceof Error) || !('code' in error)) throw error;
    const expected = 'a backup that can be written in full';
    const remedy = 'the folder holds a part of a backup; make room or name another with --to';
    throw new Fault('DATA_FOLDER', { subject: to, got: error.message, expected, remedy }, { cause: error });
  }
}
