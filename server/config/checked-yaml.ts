import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import type { Static, TSchema } from 'typebox';
import { isNode, LineCounter, parseDocument, type Document } from 'yaml';
import { Fault } from '../contract/faults.ts';
import { lineOfPath } from './line-of-path.ts';
import { keysOf, shapeErrors, valueAt, type ShapeError } from './shape-errors.ts';

export interface CheckedYaml<Value> {
  readonly value: Value;
  /** Where a fault that shows only later stands, as `<file>:<line>`; entries of lists are named by their ids. */
  readonly placeOf: (path: string) => string;
  /** The fault of what lies under these keys, or of what was made from it: `value` is that, and misfits as `error` says. */
  readonly faultAt: (keys: readonly string[], value: unknown, error: ShapeError) => Fault;
}

/** What a text is called in messages, and what follows when it does not fit. */
export interface TextSource {
  readonly name: string;
  readonly outcome: string;
}

/**
 * A YAML file that fits its schema.
 *
 * @throws Fault CONFIG_MISSING, CONFIG_SYNTAX, CONFIG_SHAPE or CONFIG_RANGE; each names file, line, key and value.
 */
export async function checkedYaml<Schema extends TSchema>(
  file: string,
  schema: Schema,
): Promise<CheckedYaml<Static<Schema>>> {
  return checkedText(await textOf(file), schema, { name: basename(file), outcome: 'server not started' });
}

/**
 * The same of a text that is no file.
 *
 * @throws Fault CONFIG_SYNTAX, CONFIG_SHAPE or CONFIG_RANGE
 */
export function checkedText<Schema extends TSchema>(
  text: string,
  schema: Schema,
  source: TextSource,
): CheckedYaml<Static<Schema>> {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines });
  const syntax = document.errors[0];
  if (syntax !== undefined) {
    const line = syntax.linePos?.[0].line ?? 1;
    throw new Fault('CONFIG_SYNTAX', {
      subject: `${source.name}:${line}`,
      got: firstLine(syntax.message),
      expected: 'YAML',
      remedy: `mend that line; ${source.outcome}`,
    });
  }
  const value = plainValue(document, source);
  const at = { source, document, lines };
  const first = shapeErrors(schema, value)[0];
  if (first !== undefined) throw shapeFault(first, { ...at, keys: [], value });
  return {
    value: value as Static<Schema>,
    placeOf: (path) => `${source.name}:${lineOfPath(document, lines, path)}`,
    faultAt: (keys, made, error) => shapeFault(error, { ...at, keys, value: made }),
  };
}

/** Throws for a text that unfolds to more than anybody could have meant. */
function plainValue(document: Document, { name, outcome }: TextSource): unknown {
  try {
    return document.toJS();
  } catch (cause) {
    const got = cause instanceof Error ? cause.message : String(cause);
    const remedy = `write it out; ${outcome}`;
    throw new Fault(
      'CONFIG_SYNTAX',
      { subject: name, got, expected: 'YAML that unfolds to a value', remedy },
      { cause },
    );
  }
}

async function textOf(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (cause) {
    throw new Fault(
      'CONFIG_MISSING',
      {
        subject: file,
        got: cause instanceof Error ? cause.message : String(cause),
        expected: 'a readable file',
        remedy: 'name another with --config; server not started',
      },
      { cause },
    );
  }
}

interface FaultyText {
  readonly source: TextSource;
  readonly document: Document;
  readonly lines: LineCounter;
  /** Where `value` stands in the document. */
  readonly keys: readonly string[];
  readonly value: unknown;
}

function shapeFault(error: ShapeError, at: FaultyText): Fault {
  const inside = keysOf(error.instancePath);
  const path = [...at.keys, ...inside];
  const isRange = ['minimum', 'maximum', 'exclusiveMinimum', 'exclusiveMaximum'].includes(error.keyword);
  // The key that is too many has a line of its own.
  const extra = namesIn(error.params, 'additionalProperties')[0];
  return new Fault(isRange ? 'CONFIG_RANGE' : 'CONFIG_SHAPE', {
    subject: `${at.source.name}:${lineOf(extra === undefined ? path : [...path, extra], at)} ${path.join('.') || 'top level'}`,
    got: gotText(error, valueAt(inside, at.value)),
    expected: expectedText(error),
    remedy: `mend it; ${at.source.outcome}`,
  });
}

/** The line of the deepest part of the path that is in the file: a missing key has no line of its own. */
function lineOf(path: readonly string[], at: FaultyText): number {
  for (let depth = path.length; depth >= 0; depth -= 1) {
    const node =
      depth === 0 ? at.document.contents : at.document.getIn(path.slice(0, depth).map(asIndex), true);
    if (isNode(node) && node.range) return at.lines.linePos(node.range[0]).line;
  }
  return 1;
}

function asIndex(key: string): string | number {
  return /^\d+$/.test(key) ? Number(key) : key;
}

function gotText(error: ShapeError, value: unknown): string {
  if (error.keyword === 'required') return `no ${quoted(namesIn(error.params, 'requiredProperties'))}`;
  if (error.keyword === 'additionalProperties')
    return `unknown key ${quoted(namesIn(error.params, 'additionalProperties'))}`;
  return value === undefined ? 'nothing' : JSON.stringify(value);
}

function expectedText(error: ShapeError): string {
  if (error.keyword === 'required') return 'that key';
  if (error.keyword === 'additionalProperties') return 'only the keys that the template shows';
  const allowed: unknown = Reflect.get(error.params, 'allowedValues');
  if (Array.isArray(allowed)) return `one of ${allowed.map(String).join(', ')}`;
  const limit: unknown = Reflect.get(error.params, 'limit');
  const comparison: unknown = Reflect.get(error.params, 'comparison');
  if (typeof limit === 'number' && typeof comparison === 'string') return `${comparison} ${limit}`;
  if (error.keyword === 'pattern' && error.description !== null) return error.description;
  return error.message
    .replace(/^must be (?=[aeiou]\w*$)/, 'an ')
    .replace(/^must be (?=\w+$)/, 'a ')
    .replace(/^must /, 'it to ');
}

function namesIn(params: object, key: string): readonly string[] {
  const names: unknown = Reflect.get(params, key);
  return Array.isArray(names) ? names.map(String) : [];
}

function quoted(names: readonly string[]): string {
  return names.map((name) => `"${name}"`).join(', ');
}

/** The place is named before it; what stands below is the text itself. */
function firstLine(text: string): string {
  return (text.split('\n')[0] ?? text).replace(/ at line \d+, column \d+:$/, '');
}
