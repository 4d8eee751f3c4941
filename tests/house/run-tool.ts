import { spawn } from 'node:child_process';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

export const PROJECT_ROOT = path.resolve(import.meta.dirname, '../..');

/** A file of the launch scripts as another script would write it in an import. */
export function launchUrl(file: string): string {
  return JSON.stringify(pathToFileURL(path.join(PROJECT_ROOT, 'server/launch', file)).href);
}

export interface ToolEnd {
  readonly exitCode: number | null;
  readonly output: string;
  readonly errors: string;
}

/** Runs a JavaScript or TypeScript file on the Node that runs the tests, in a folder, to its end. */
export function runScript(
  script: string,
  args: readonly string[],
  options: { readonly cwd?: string; readonly env?: NodeJS.ProcessEnv } = {},
): Promise<ToolEnd> {
  const child = spawn(process.execPath, [path.resolve(PROJECT_ROOT, script), ...args], {
    cwd: options.cwd ?? PROJECT_ROOT,
    env: { ...process.env, NO_COLOR: '1', FORCE_COLOR: '0', ...options.env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  let errors = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => (output += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (errors += text));
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (exitCode) => {
      resolve({ exitCode, output, errors });
    });
  });
}
