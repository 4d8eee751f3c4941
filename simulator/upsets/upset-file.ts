import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import { SimulatorFault } from '../fault.ts';
import { LEVER_KINDS } from './lever-kinds.ts';
import type { Upset, UpsetChange } from './upset.ts';

const UPSETS_FOLDER = fileURLToPath(new URL('../../config/upsets/', import.meta.url));

/** All upsets of a folder, by name. */
export function readUpsets(folder: string = UPSETS_FOLDER): ReadonlyMap<string, Upset> {
  const files = readdirSync(folder).filter((file) => file.endsWith('.yaml'));
  return new Map(
    files.sort().map((file) => {
      const upset = parseUpset(file, readFileSync(join(folder, file), 'utf8'));
      return [upset.name, upset] as const;
    }),
  );
}

export function parseUpset(file: string, text: string): Upset {
  const raw = parsedYaml(file, text);
  const changes = raw['changes'];
  if (!Array.isArray(changes) || changes.length === 0) {
    throw wrong(`${file} changes`, changes, 'a list with at least one change');
  }
  return {
    name: file.replace(/\.yaml$/, ''),
    title: textOf(file, raw, 'title'),
    about: textOf(file, raw, 'about').trim(),
    seed: notNegative(`${file} seed`, raw['seed']) ?? 1,
    changes: changes.map((change: unknown, i) => changeOf(`${file} changes[${i}]`, change)),
  };
}

function parsedYaml(file: string, text: string): Record<string, unknown> {
  try {
    const raw: unknown = parse(text);
    if (isRecord(raw)) return raw;
    throw wrong(file, raw, 'a mapping with title, about and changes');
  } catch (cause) {
    if (cause instanceof SimulatorFault) throw cause;
    throw wrong(file, cause instanceof Error ? cause.message.split('\n')[0] : cause, 'valid YAML');
  }
}

const KNOWN_KEYS = ['lever', 'target', 'afterS', 'rampS', 'size', 'flutter', 'lastsS'];

function changeOf(subject: string, raw: unknown): UpsetChange {
  if (!isRecord(raw)) throw wrong(subject, raw, 'a mapping');
  const unknownKey = Object.keys(raw).find((key) => !KNOWN_KEYS.includes(key));
  if (unknownKey !== undefined)
    throw wrong(`${subject}.${unknownKey}`, 'an unknown key', KNOWN_KEYS.join(', '));
  const lever = textOf(subject, raw, 'lever');
  const target = raw['target'] === undefined ? '' : textOf(subject, raw, 'target');
  const kind = LEVER_KINDS[lever];
  if (kind === undefined)
    throw wrong(`${subject}.lever`, lever, `one of ${Object.keys(LEVER_KINDS).join(', ')}`);
  const { targets } = kind;
  if (!targets.includes(target)) throw wrong(`${subject}.target`, target, `one of ${targets.join(', ')}`);
  return {
    lever,
    target,
    afterS: notNegative(`${subject}.afterS [s]`, raw['afterS']) ?? 0,
    rampS: notNegative(`${subject}.rampS [s]`, raw['rampS']) ?? 0,
    size: sizeOf(subject, raw),
    flutter: notNegative(`${subject}.flutter`, raw['flutter']) ?? 0,
    lastsS: notNegative(`${subject}.lastsS [s]`, raw['lastsS']),
  };
}

function notNegative(subject: string, value: unknown): number | undefined {
  if (value === undefined) return undefined;
  if (typeof value === 'number' && value >= 0 && Number.isFinite(value)) return value;
  throw wrong(subject, value, 'a number >= 0');
}

function sizeOf(subject: string, raw: Record<string, unknown>): number {
  const value = raw['size'];
  if (typeof value === 'number' && Number.isFinite(value) && value !== 0) return value;
  throw wrong(`${subject}.size`, value, 'a number that is not 0');
}

function textOf(subject: string, raw: Record<string, unknown>, key: string): string {
  const value = raw[key];
  if (typeof value === 'string' && value.trim() !== '') return value;
  throw wrong(`${subject} ${key}`, value, 'some text');
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function wrong(subject: string, got: unknown, expected: string): SimulatorFault {
  return new SimulatorFault({
    code: 'SIM_UPSET_FILE',
    subject,
    got: got === undefined ? 'nothing' : typeof got === 'string' ? got : JSON.stringify(got),
    expected,
    remedy: 'correct the file in config/upsets',
  });
}
