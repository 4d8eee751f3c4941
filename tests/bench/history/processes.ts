import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const SCRIPT = fileURLToPath(new URL('own-process.ts', import.meta.url));
const STRACE = '/usr/bin/strace';
const COMMITS = 200;

export function workerMegabytes(folder: string): number {
  const end = spawnSync(process.execPath, [SCRIPT, 'memory', folder], { encoding: 'utf8' });
  const megabytes = Number(end.stdout);
  if (end.status !== 0 || !(megabytes > 0)) throw new Error(`memory was not measured: ${end.stderr}`);
  return megabytes;
}

/** Calls that make the disk write, for each durable batch; null where no tracer is installed. */
export function syncsPerCommit(folder: string): number | null {
  if (!existsSync(STRACE)) return null;
  const args = ['-f', '-c', '-e', 'trace=fsync,fdatasync', process.execPath, SCRIPT, 'commits', folder];
  const end = spawnSync(STRACE, args, { encoding: 'utf8' });
  const calls = [...end.stderr.matchAll(/^\s*[\d.]+\s+[\d.]+\s+\d+\s+(\d+).*(?:fsync|fdatasync)$/gm)];
  const count = calls.reduce((sum, match) => sum + Number(match[1]), 0);
  return count === 0 ? null : count / COMMITS;
}
