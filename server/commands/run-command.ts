import { parseArgs } from 'node:util';
import { Fault } from '../contract/faults.ts';

/** The options of a command with their standing values; undefined has to be given. */
export type Options = Readonly<Record<string, string | boolean | undefined>>;

type Given<Some extends Options> = {
  readonly [Name in keyof Some]: Some[Name] extends boolean ? boolean : string;
};

/** Runs a command: one clear line and exit code 1 when it cannot be done. */
export async function runCommand<Some extends Options>(
  options: Some,
  work: (given: Given<Some>) => Promise<number> | number,
): Promise<void> {
  try {
    process.exitCode = await work(given(options, process.argv.slice(2)));
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    process.stderr.write(`${error.message}\n`);
    process.exitCode = 1;
  }
}

export function given<Some extends Options>(options: Some, args: readonly string[]): Given<Some> {
  const values = { ...options, ...parsed(options, args) };
  for (const [name, value] of Object.entries(values)) {
    if (value === undefined) throw invalid(`--${name}`, 'nothing', `--${name} <value>`);
  }
  // Each is there now, and of the type that its standing value has.
  return values as unknown as Given<Some>;
}

function parsed(options: Options, args: readonly string[]): Options {
  const types: Record<string, { readonly type: 'boolean' | 'string' }> = {};
  for (const [name, standing] of Object.entries(options)) {
    types[name] = { type: typeof standing === 'boolean' ? 'boolean' : 'string' };
  }
  try {
    return parseArgs({ args: [...args], options: types, strict: true }).values;
  } catch (error) {
    const expected = Object.keys(options)
      .map((name) => `--${name}`)
      .join(', ');
    throw invalid('arguments', error instanceof Error ? error.message : String(error), expected);
  }
}

/** An instant in ISO 8601, with its offset or Z. */
export function instant(name: string, text: string): number {
  const timeMs = /(?:Z|[+-]\d\d:\d\d)$/.test(text) ? Date.parse(text) : NaN;
  if (Number.isFinite(timeMs)) return timeMs;
  throw invalid(`--${name}`, text, 'a time such as 2026-03-02T06:00:00Z');
}

export function invalid(subject: string, got: string, expected: string): Fault {
  return new Fault('ARGUMENT_INVALID', { subject, got, expected, remedy: 'nothing is done' });
}

export function say(text: string): void {
  process.stdout.write(`${text}\n`);
}
