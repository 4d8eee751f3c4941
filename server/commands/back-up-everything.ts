import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { parseDocument } from 'yaml';
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
  const config = configFiles(place.config);
  return writingTo(to, async () => {
    mkdirSync(join(to, CONFIG_FOLDER), { recursive: true });
    copyDurably(place.config, join(to, CONFIG_FOLDER, config.plantFile));
    copyDurably(config.alarms, join(to, CONFIG_FOLDER, config.alarmsFile));
    const history = backupHistory(join(place.data, 'history'), join(to, HISTORY_FOLDER));
    backUpRecords(join(place.data, 'records.sqlite'), join(to, RECORDS_FILE));
    const { plantFile, alarmsFile, alarmsPath } = config;
    const list = await writeBackupList(
      to,
      [
        join(HISTORY_FOLDER, 'history.sqlite'),
        RECORDS_FILE,
        join(CONFIG_FOLDER, plantFile),
        join(CONFIG_FOLDER, alarmsFile),
      ],
      { madeAt: new Date(nowMs).toISOString(), plantFile, alarmsFile, alarmsPath },
    );
    return { list, history };
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

/** A configuration that the server would refuse is backed up all the same: only the name of its rules is needed. */
function configFiles(plant: string) {
  const alarmsPath: unknown = parseDocument(textOf(plant)).get('alarms');
  if (typeof alarmsPath !== 'string')
    throw missing(plant, 'no "alarms"', 'a plant that names its alarm rules');
  const alarms = resolve(dirname(plant), alarmsPath);
  textOf(alarms);
  const [plantFile, name] = [basename(plant), basename(alarms)];
  return { plantFile, alarms, alarmsFile: name === plantFile ? `rules-${name}` : name, alarmsPath };
}

function textOf(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw missing(file, error instanceof Error ? error.message : String(error), 'a readable file');
  }
}

function missing(subject: string, got: string, expected: string): Fault {
  const remedy = 'nothing is backed up; name the configuration with --config';
  return new Fault('CONFIG_MISSING', { subject, got, expected, remedy });
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
