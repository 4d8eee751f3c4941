import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { lookFor } from '../support/crash-runs.ts';

const RECORDER = fileURLToPath(new URL('../support/cramped-recorder.ts', import.meta.url));
const LIMIT_KIB = 700;
const folder = mkdtempSync(join(tmpdir(), 'sievewright-full-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** The operating system refuses to let any file grow beyond a limit, as a full disk does, and then lifts it. */
describe('a disk that is full', () => {
  it('refuses each batch by its code, then records on by itself, and has every batch it took', async () => {
    const shell = `trap '' XFSZ; ulimit -S -f ${LIMIT_KIB}; exec "$0" "$@"`;
    const child = spawn('bash', ['-c', shell, process.execPath, RECORDER, folder], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    const lines: string[] = [];
    let rest = '';
    child.stdout.on('data', (data: Buffer) => {
      const parts = (rest + data.toString()).split('\n');
      rest = parts.pop() ?? '';
      lines.push(...parts);
    });
    const until = async (what: string, isThere: () => boolean): Promise<void> => {
      const endMs = performance.now() + 60_000;
      while (!isThere()) {
        if (performance.now() > endMs || child.exitCode !== null)
          throw new Error(`never: ${what}; ${lines.at(-1) ?? ''}`);
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
    };

    await until('a refusal', () => lines.some((line) => !line.startsWith('kept')));
    const firstRefusal = lines.find((line) => !line.startsWith('kept')) ?? '';
    expect(firstRefusal).toMatch(
      /HISTORY_UNWRITABLE history: got SQLite code \d+: .*, expected a file that can be written/,
    );
    const keptBefore = lines.filter((line) => line.startsWith('kept')).length;
    expect(keptBefore).toBeGreaterThan(10);

    const raised = spawnSync('/usr/bin/prlimit', ['--pid', String(child.pid), '--fsize=unlimited']);
    expect(raised.status).toBe(0);
    await until(
      'recording again',
      () => lines.filter((line) => line.startsWith('kept')).length > keptBefore + 20,
    );
    child.stdin.end();
    await new Promise((resolve) => child.once('close', resolve));

    const last = Number(lines.findLast((line) => line.startsWith('kept'))?.slice('kept '.length));
    expect(lookFor(folder, last)).toMatchObject({ lost: 0, torn: 0, refused: 0 });
  });
});
