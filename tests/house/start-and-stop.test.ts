import { spawn, type ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { launchUrl, runScript } from './run-tool.ts';
import { temporaryTree } from './temporary-tree.ts';

/** Two stand-ins for our processes, started as the real ones are, and what each of them does. */
const tree = temporaryTree({
  'starter.mjs': `
    import { endWith } from ${launchUrl('launch-fault.mjs')};
    import { runTogether } from ${launchUrl('run-together.mjs')};
    import { startProcess } from ${launchUrl('started-process.mjs')};
    const node = process.execPath;
    const file = new URL('stand-in.mjs', import.meta.url).pathname;
    await endWith(() => {
      const started = process.argv.slice(2).map((does, index) =>
        startProcess({ name: ['server', 'simulator'][index], node, file, args: [does] }));
      for (const one of started) void one.ready.then((rest) => console.log(one.name + ' is ready: ' + rest));
      return runTogether(started);
    });`,
  'stand-in.mjs': `
    import { writeFileSync } from 'node:fs';
    const does = process.argv[2];
    const note = (text) => writeFileSync(new URL('note-' + does, import.meta.url), text);
    setInterval(() => {}, 1000);
    process.on('SIGTERM', () => {
      if (does === 'stubborn') return;
      note('stopped');
      process.exit(does === 'unclean' ? 3 : 0);
    });
    if (does === 'fails') {
      console.error('PORT_TAKEN web: got 8080, expected a free port; choose another with --port');
      process.exit(1);
    }
    if (does === 'falls-silently') process.exit(7);
    note('started');
    console.log((does === 'plant' ? 'simulator' : 'server') + ' ready at ' + does);`,
});
afterAll(tree.remove);

interface Starting {
  readonly child: ChildProcess;
  readonly said: () => string;
  readonly ended: Promise<{ exitCode: number | null; output: string }>;
}

function start(...does: readonly string[]): Starting {
  const child = spawn(process.execPath, [path.join(tree.folder, 'starter.mjs'), ...does], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (text: Buffer) => (output += text.toString()));
  const ended = new Promise<{ exitCode: number | null; output: string }>((resolve) => {
    child.once('close', (exitCode) => {
      resolve({ exitCode, output });
    });
  });
  return { child, said: () => output, ended };
}

async function until(isSo: () => boolean): Promise<void> {
  const deadlineMs = Date.now() + 10_000;
  while (!isSo()) {
    if (Date.now() > deadlineMs) throw new Error('waited 10 s in vain');
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

const noteOf = (does: string) => readFileSync(path.join(tree.folder, `note-${does}`), 'utf8');

describe('the starter of both processes', () => {
  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    'stops both cleanly on %s and ends with 0',
    async (signal) => {
      const { child, said, ended } = start('serves', 'plant');
      await until(
        () =>
          said().includes('simulator is ready: at plant') && said().includes('server is ready: at serves'),
      );
      child.kill(signal);
      const { exitCode, output } = await ended;
      expect(exitCode).toBe(0);
      expect(output.trimEnd().split('\n').at(-1)).toBe('Stopped.');
      expect([noteOf('serves'), noteOf('plant')]).toEqual(['stopped', 'stopped']);
    },
  );

  it('asks only once when npm passes on a Ctrl-C that the terminal has sent already', async () => {
    const { child, said, ended } = start('serves', 'plant');
    await until(() => said().includes('simulator is ready') && said().includes('server is ready'));
    child.kill('SIGINT');
    child.kill('SIGINT');
    expect((await ended).exitCode).toBe(0);
  });

  it('stops the other, and says only the one line, when one fails with a message', async () => {
    const { exitCode, output } = await start('fails', 'plant').ended;
    expect(exitCode).toBe(1);
    expect(
      output.split('\n').filter((line) => line !== '' && !line.startsWith('simulator is ready')),
    ).toEqual(['PORT_TAKEN web: got 8080, expected a free port; choose another with --port']);
  });

  it('says which one fell, and with what, when it said nothing itself', async () => {
    const { exitCode, output } = await start('serves', 'falls-silently').ended;
    expect(exitCode).toBe(1);
    expect(output).toContain(
      'LAUNCH_PROCESS simulator: got exit code 7, expected it to run until it is stopped;',
    );
    expect(noteOf('serves')).toBe('stopped');
  });

  it('does not call a stop clean that ended with an exit code', async () => {
    const { child, said, ended } = start('unclean');
    await until(() => said().includes('server is ready'));
    child.kill('SIGTERM');
    const { exitCode, output } = await ended;
    expect(exitCode).toBe(1);
    expect(output).toContain('LAUNCH_PROCESS server: got exit code 3, expected a clean stop;');
  });

  it('ends by force after 8 s what does not stop', async () => {
    const { child, said, ended } = start('stubborn');
    await until(() => said().includes('server is ready'));
    const askedMs = Date.now();
    child.kill('SIGTERM');
    const { exitCode, output } = await ended;
    expect(exitCode).toBe(1);
    expect(output).toContain('LAUNCH_PROCESS server: got no end within 8 s, so it was ended by force,');
    const tookMs = Date.now() - askedMs;
    expect(tookMs).toBeGreaterThan(7900);
    expect(tookMs).toBeLessThan(12_000);
  });

  it('leaves nothing behind when it is killed itself', async () => {
    const { child, said, ended } = start('serves');
    await until(() => said().includes('server is ready'));
    child.kill('SIGKILL');
    await ended;
    await until(() => noteOf('serves') === 'stopped');
  });
});

describe('npm start', () => {
  it.each([
    [
      ['--port', '0'],
      'ARGUMENT_INVALID --port: got 0, expected a number from 1 to 65535; nothing was started',
    ],
    [
      ['--port', 'high'],
      'ARGUMENT_INVALID --port: got high, expected a number from 1 to 65535; nothing was started',
    ],
    [
      ['--prot', '8080'],
      "ARGUMENT_INVALID npm start: got --prot 8080 (Unknown option '--prot'), expected only --config",
    ],
  ])('refuses %j in one line', async (args, line) => {
    const { exitCode, output, errors } = await runScript('server/launch/start.mjs', args);
    expect(exitCode).toBe(1);
    expect(output).toBe('');
    expect(errors.trimEnd().split('\n')).toEqual([expect.stringContaining(line)]);
  });
});
