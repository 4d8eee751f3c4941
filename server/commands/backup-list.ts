import { createHash } from 'node:crypto';
import { createReadStream, existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { Type, type Static } from 'typebox';
import { Check } from 'typebox/value';
import { Fault } from '../contract/faults.ts';

/** Where each thing is in a backup; the list is written last, so a backup without it is not complete. */
export const LIST_FILE = 'backup.json';
export const HISTORY_FOLDER = 'history';
export const RECORDS_FILE = 'records.sqlite';
export const CONFIG_FOLDER = 'config';

const FORMAT = 1;

const BackupListSchema = Type.Object({
  program: Type.Literal('sievewright'),
  format: Type.Literal(FORMAT),
  madeAt: Type.String(),
  files: Type.Array(Type.Object({ path: Type.String(), bytes: Type.Integer(), sha256: Type.String() })),
  /** The plant's own file first; the others where it names them. */
  config: Type.Array(Type.Object({ named: Type.String(), stored: Type.String() }), { minItems: 1 }),
});
export type BackupList = Static<typeof BackupListSchema>;

/** What a backup has beside its files: their sums, so that a copy that went bad on its way is not restored. */
export async function writeBackupList(
  folder: string,
  paths: readonly string[],
  rest: Omit<BackupList, 'program' | 'format' | 'files'>,
): Promise<BackupList> {
  const files = await Promise.all(
    paths.map(async (path) => ({ path, ...(await sumOf(join(folder, path))) })),
  );
  const list: BackupList = { program: 'sievewright', format: FORMAT, ...rest, files };
  writeFileSync(join(folder, LIST_FILE), `${JSON.stringify(list, null, 2)}\n`, { flag: 'wx', flush: true });
  return list;
}

/**
 * The list of a backup, each of whose files is there and as it was when the backup was made.
 *
 * @throws Fault BACKUP_DAMAGED
 */
export async function provenBackupList(folder: string): Promise<BackupList> {
  const list = readList(join(folder, LIST_FILE));
  for (const { path, bytes, sha256 } of list.files) {
    const file = join(folder, path);
    if (!existsSync(file)) throw damaged(file, 'nothing', 'a file');
    const found = await sumOf(file);
    if (found.bytes !== bytes) throw damaged(`${file} size [B]`, found.bytes, String(bytes));
    if (found.sha256 !== sha256) throw damaged(`${file} SHA-256`, found.sha256, sha256);
  }
  return list;
}

function readList(file: string): BackupList {
  if (!existsSync(file)) throw damaged(file, 'nothing', 'the list that a complete backup has');
  let list: unknown;
  try {
    list = JSON.parse(readFileSync(file, 'utf8'));
  } catch (error) {
    throw damaged(file, error instanceof Error ? error.message : String(error), 'JSON');
  }
  if (Check(BackupListSchema, list)) return list;
  throw damaged(file, 'another content', `the list of a backup of format ${FORMAT}`);
}

async function sumOf(file: string): Promise<{ readonly bytes: number; readonly sha256: string }> {
  const hash = createHash('sha256');
  await pipeline(createReadStream(file), hash);
  return { bytes: statSync(file).size, sha256: hash.digest('hex') };
}

function damaged(subject: string, got: string | number, expected: string): Fault {
  return new Fault('BACKUP_DAMAGED', {
    subject,
    got,
    expected,
    remedy: 'nothing is restored; name another backup',
  });
}
