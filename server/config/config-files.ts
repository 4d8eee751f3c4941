import { readFile } from 'node:fs/promises';
import { basename, dirname, resolve } from 'node:path';
import { parseDocument } from 'yaml';
import { Fault } from '../contract/faults.ts';

/** The keys of a plant's file whose values name other files. */
export const FILE_KEYS: readonly string[] = ['alarms', 'machines'];

export interface ConfigFile {
  /** Where it is, from the folder of the plant's file: as that file names it. */
  readonly named: string;
  readonly path: string;
}

/**
 * The files that a configuration consists of, the plant's own first. It need not be one that the server takes.
 *
 * @throws Fault CONFIG_MISSING for one that cannot be read
 */
export async function configFiles(plantFile: string): Promise<readonly ConfigFile[]> {
  const document = parseDocument(await textOf(plantFile));
  const names = FILE_KEYS.map((key) => document.get(key)).filter((name) => typeof name === 'string');
  const others = names.map((named) => ({ named, path: resolve(dirname(plantFile), named) }));
  for (const { path } of others) await textOf(path);
  return [{ named: basename(plantFile), path: plantFile }, ...others];
}

async function textOf(subject: string): Promise<string> {
  try {
    return await readFile(subject, 'utf8');
  } catch (cause) {
    const got = cause instanceof Error ? cause.message : String(cause);
    const remedy = 'nothing is done; name the configuration with --config';
    throw new Fault('CONFIG_MISSING', { subject, got, expected: 'a readable file', remedy }, { cause });
  }
}
