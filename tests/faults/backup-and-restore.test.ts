import {
  appendFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { backUpEverything } from '#server/commands/back-up-everything.ts';
import { restoreEverything } from '#server/commands/restore-everything.ts';
import { openSampleStore } from '#server/history/open-sample-store.ts';
import type { RecordStore } from '#server/ports/record-store.ts';
import type { SampleStore } from '#server/ports/sample-store.ts';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { aLot, anAlarm, aTransition, said } from '../support/record-builders.ts';
import { batchOf, flow, running, START_MS, type SampleRow } from '../support/sample-builders.ts';

const DAY_MS = 86_400_000;
const RANGE = { fromMs: 0, toMs: START_MS + 300 * DAY_MS };
const never = new AbortController().signal;

let folder: string;
let place: { data: string; config: string };
let to: string;
let samples: SampleStore;
let records: RecordStore;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sievewright-backup-'));
  place = { data: join(folder, 'data'), config: join(folder, 'config', 'plant.yaml') };
  to = join(folder, 'copies', 'monday');
  mkdirSync(place.data);
  mkdirSync(join(folder, 'config'));
  writeFileSync(
    place.config,
    'name: Small plant\nalarms: ../rules/rules.yaml\nmachines: ../machines/plant.yaml\n',
  );
  mkdirSync(join(folder, 'rules'));
  writeFileSync(join(folder, 'rules', 'rules.yaml'), 'rules: []\n');
  mkdirSync(join(folder, 'machines'));
  writeFileSync(join(folder, 'machines', 'plant.yaml'), 'machines: []\n');
  await open();
  await samples.register([flow, running], 0);
  await samples.append(batchOf(0, hours(0, 48)));
  await records.startLot(aLot({ number: 'QM-1' }), said(0));
  await records.journalAlarms([aTransition()], [anAlarm()]);
});

afterEach(async () => {
  await close();
  rmSync(folder, { recursive: true });
});

async function open(): Promise<void> {
  samples = await openSampleStore({ folder: join(place.data, 'history') });
  records = openRecordStore({ file: join(place.data, 'records.sqlite') });
}

async function close(): Promise<void> {
  await Promise.all([samples.close(), records.close()]);
}

/** A reading a minute of the scale, one an hour of the contact, in these hours after the start. */
function hours(from: number, to: number): readonly SampleRow[] {
  const minutes = Array.from({ length: (to - from) * 60 }, (_, i) => from * 60 + i);
  return minutes.flatMap((minute): readonly SampleRow[] => {
    const scale: SampleRow = [1, minute * 60_000, 9000 + ((minute * 37) % 500) / 10];
    return minute % 60 === 0 ? [scale, [2, minute * 60_000, (minute / 60) % 2]] : [scale];
  });
}

async function collected<T>(pieces: AsyncIterable<T>): Promise<readonly T[]> {
  const all: T[] = [];
  for await (const piece of pieces) all.push(piece);
  return all;
}

/** Everything that can be asked of the two stores. */
async function answers(): Promise<unknown> {
  const series = [1, 2];
  return {
    catalogue: await samples.catalogue(),
    raw: await collected(samples.raw({ series, ...RANGE }, never)),
    thinned: await collected(samples.thinned({ series, ...RANGE, buckets: 500 }, never)),
    totals: await samples.totals({ series, ...RANGE }, never),
    newest: await samples.valuesAt(series, RANGE.toMs),
    sequence: await samples.lastSequence('line'),
    lots: await records.lots(RANGE),
    running: await records.runningLots(),
    journal: await records.alarmJournal(RANGE),
    standing: await records.standingAlarms(),
    commands: await records.commandJournal(RANGE),
  };
}

async function goOn(): Promise<void> {
  await samples.append(batchOf(1, hours(48, 50)));
  await records.startLot(aLot({ number: 'QM-2' }), said(49 * 60));
  writeFileSync(place.config, 'name: Renamed\nalarms: ../rules/rules.yaml\n');
}

const restore = (keepsConfig = false) => restoreEverything(place, { from: to, nowMs: 7, keepsConfig });

describe('a backup of everything', () => {
  it('is made while both stores record, and restored it answers every question as they did then', async () => {
    const before = await answers();
    const { list } = await backUpEverything(place, to, START_MS);
    expect(list.files.map(({ path }) => path)).toEqual([
      'history/history.sqlite',
      'records.sqlite',
      'config/plant.yaml',
      'config/rules.yaml',
      'config/2-plant.yaml',
    ]);
    await goOn();
    expect(await answers()).not.toEqual(before);
    await close();

    const { kept, madeAt } = await restore();
    await open();
    expect(await answers()).toEqual(before);
    expect(readFileSync(place.config, 'utf8')).toContain('Small plant');
    expect(madeAt).toBe('2026-03-02T06:00:00.000Z');
    // The rules had not changed: they are left as they are.
    expect(kept).toEqual([
      join(place.data, 'history', 'history.sqlite.before-restore-7'),
      join(place.data, 'records.sqlite.before-restore-7'),
      `${place.config}.before-restore-7`,
    ]);
    await samples.append(batchOf(1, hours(48, 50)));
    expect(await samples.lastSequence('line')).toBe(1);
  });

  it('restores on a machine that has nothing yet', async () => {
    const before = await answers();
    await backUpEverything(place, to, START_MS);
    await close();
    for (const gone of [place.data, join(folder, 'config'), join(folder, 'rules'), join(folder, 'machines')])
      rmSync(gone, { recursive: true });
    expect((await restore()).kept).toEqual([]);
    await open();
    expect(await answers()).toEqual(before);
    expect(readFileSync(join(folder, 'rules', 'rules.yaml'), 'utf8')).toBe('rules: []\n');
    expect(readFileSync(join(folder, 'machines', 'plant.yaml'), 'utf8')).toBe('machines: []\n');
  });

  it('leaves the configuration as it is where that is asked for', async () => {
    await backUpEverything(place, to, START_MS);
    await goOn();
    await close();
    await restore(true);
    await open();
    expect(readFileSync(place.config, 'utf8')).toContain('Renamed');
  });

  it('is refused while a server records, and nothing is touched', async () => {
    await backUpEverything(place, to, START_MS);
    await goOn();
    const before = await answers();
    await expect(restore()).rejects.toThrow('stop the other server, or choose another data folder');
    expect(await answers()).toEqual(before);
    expect(readFileSync(place.config, 'utf8')).toContain('Renamed');
  });

  it('is not put over another, nor made without the configuration that it names', async () => {
    await backUpEverything(place, to, START_MS);
    await expect(backUpEverything(place, to, START_MS)).rejects.toThrow(
      `DATA_FOLDER ${to}: got a folder with something in it, expected a new or an empty folder; nothing is backed up; name another with --to`,
    );
    const nowhere = join(folder, 'plant.yaml');
    await expect(backUpEverything({ ...place, config: nowhere }, `${to}-2`, 0)).rejects.toThrow(
      `CONFIG_MISSING ${nowhere}: got ENOENT`,
    );
    expect(existsSync(`${to}-2`)).toBe(false);
  });

  it.each([
    ['cut', () => writeFileSync(join(to, 'records.sqlite'), ''), 'records.sqlite size [B]: got 0, expected'],
    ['changed', () => flip(join(to, 'history', 'history.sqlite')), 'history.sqlite SHA-256: got '],
    ['gone', () => rmSync(join(to, 'config', 'rules.yaml')), 'rules.yaml: got nothing, expected a file'],
    [
      'never finished',
      () => rmSync(join(to, 'backup.json')),
      'got nothing, expected the list that a complete',
    ],
    ['of another kind', () => appendFileSync(join(to, 'backup.json'), '}'), 'backup.json: got Unexpected'],
  ])('is not restored when it is %s, and nothing is touched', async (_, spoil, told) => {
    await backUpEverything(place, to, START_MS);
    await goOn();
    await close();
    spoil();
    await expect(restore()).rejects.toThrow('BACKUP_DAMAGED ');
    await expect(restore()).rejects.toThrow(told);
    await open();
    expect((await records.lots(RANGE)).map(({ number }) => number)).toEqual(['QM-1', 'QM-2']);
  });
});

/** One bit of the last byte but nine. */
function flip(file: string): void {
  const bytes = readFileSync(file);
  bytes[bytes.length - 9] = (bytes.at(-9) ?? 0) ^ 1;
  writeFileSync(file, bytes);
}
