import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { PROJECT_ROOT } from './run-tool.ts';

/** The files that git keeps and that are there, relative to the project, with forward slashes. */
export function trackedFiles(): readonly string[] {
  const listed = execFileSync('git', ['ls-files', '-z'], { cwd: PROJECT_ROOT, encoding: 'utf8' });
  return listed.split('\0').filter((file) => file !== '' && existsSync(path.join(PROJECT_ROOT, file)));
}

export function textOf(file: string): string {
  return readFileSync(path.join(PROJECT_ROOT, file), 'utf8');
}
