import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { launchUrl, runScript } from './run-tool.ts';
import { temporaryTree } from './temporary-tree.ts';

const trees: ReturnType<typeof temporaryTree>[] = [];
afterAll(() => {
  for (const tree of trees) tree.remove();
});

function passingTree(files: Readonly<Record<string, string>>): string {
  const tree = temporaryTree(files);
  trees.push(tree);
  return tree.folder;
}

const LOCKED = { version: '1.0.0', integrity: 'sha512-bm90aGluZw==' };

/** A project that needs one package, which no registry has, and a script that installs it as the set-up does. */
function lockedProject({ installed }: { readonly installed?: typeof LOCKED } = {}) {
  const root = { name: 'locked', version: '1.0.0', dependencies: { nothing: '1.0.0' } };
  const lock = (packages: object) =>
    JSON.stringify({ ...root, lockfileVersion: 3, requires: true, packages });
  const folder = passingTree({
    'package.json': JSON.stringify(root),
    'package-lock.json': lock({ '': root, 'node_modules/nothing': LOCKED }),
    ...(installed && { 'node_modules/.package-lock.json': lock({ 'node_modules/nothing': installed }) }),
    'install.mjs': `
        import { endWith } from ${launchUrl('launch-fault.mjs')};
        import { installByLock } from ${launchUrl('install.mjs')};
        await endWith(async () => {
          console.log(await installByLock(import.meta.dirname, () => {}));
          return 0;
        });`,
  });
  return {
    install: path.join(folder, 'install.mjs'),
    isStamped: () => existsSync(path.join(folder, 'node_modules', '.installed-by-lock')),
    withRegistry: (url: string) => ({
      ...process.env,
      npm_config_registry: url,
      npm_config_cache: path.join(folder, 'cache'),
    }),
  };
}

describe('the set-up', () => {
  it('does nothing and says nothing when all is there', async () => {
    await runScript('server/launch/set-up.mjs', []);
    const again = await runScript('server/launch/set-up.mjs', []);
    expect(again).toEqual({ exitCode: 0, output: '', errors: '' });
  });

  it('says in one line that the registry is out of reach', async () => {
    const project = lockedProject();
    // Nothing listens on port 9 of this machine, and nothing leaves it.
    const end = await runScript(project.install, [], { env: project.withRegistry('http://127.0.0.1:9') });
    expect(end).toEqual({
      exitCode: 1,
      output: '',
      errors:
        'LAUNCH_INSTALL npm ci: got no way to the package registry (ECONNREFUSED), expected all packages; ' +
        'connect this machine to the network for the first start, and run the command again\n',
    });
    expect(project.isStamped()).toBe(false);
  });

  it('stops at Ctrl-C in the middle of an installation, and does not take it for a whole one', async () => {
    const project = lockedProject();
    const silent = createServer((socket) => socket.on('error', () => undefined));
    await new Promise<void>((resolve) => silent.listen(0, '127.0.0.1', resolve));
    const asked = new Promise((resolve) => silent.once('connection', resolve));
    const { port } = silent.address() as AddressInfo;
    const child = spawn(process.execPath, [project.install], {
      env: project.withRegistry(`http://127.0.0.1:${port}`),
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let output = '';
    child.stdout.on('data', (text: Buffer) => (output += text.toString()));
    await asked;
    child.kill('SIGINT');
    await new Promise((resolve) => child.once('close', resolve));
    silent.close();
    expect(output).toBe('interrupted\n');
    expect(project.isStamped()).toBe(false);
  });

  it('takes what npm install has put there, if it is what the lock file says', async () => {
    const project = lockedProject({ installed: LOCKED });
    expect(await runScript(project.install, [])).toEqual({ exitCode: 0, output: 'was there\n', errors: '' });
    expect(project.isStamped()).toBe(true);
  });

  it('installs anew when what is there has another version than the lock file', async () => {
    const project = lockedProject({ installed: { ...LOCKED, version: '1.0.1' } });
    const end = await runScript(project.install, [], { env: project.withRegistry('http://127.0.0.1:9') });
    expect(end.errors).toContain('LAUNCH_INSTALL npm ci: got no way to the package registry');
  });
});

describe('on the pinned Node', () => {
  it('a tool ends with its own exit code', async () => {
    const compiler = await runScript('server/launch/on-pinned-node.mjs', ['tsc', '--no-such-option']);
    expect(compiler.output).toContain("error TS5023: Unknown compiler option '--no-such-option'");
    expect(compiler.exitCode).toBe(1);
  });

  it('a tool that nobody brought is refused by name', async () => {
    const end = await runScript('server/launch/on-pinned-node.mjs', ['no-such-tool']);
    expect(end.errors).toContain(
      'ARGUMENT_INVALID on-pinned-node: got no-such-tool, expected the name of an installed tool',
    );
    expect(end.exitCode).toBe(1);
  });

  it('every child that is started by name gets the same Node', async () => {
    const folder = passingTree({
      'which-node.mjs': `
          import { execSync } from 'node:child_process';
          console.log(process.version, execSync('node --version').toString().trim());`,
    });
    const end = await runScript('server/launch/on-pinned-node.mjs', [path.join(folder, 'which-node.mjs')]);
    const [own, child] = end.output.trim().split(' ');
    expect(own).toMatch(/^v(2[4-9]|[3-9]\d)\./);
    expect(child).toBe(own);
  });

  it('an unknown measurement is refused with the names of those there are', async () => {
    const end = await runScript('server/launch/bench.mjs', ['no-such-measurement']);
    expect(end.errors).toMatch(
      /^ARGUMENT_INVALID bench: got no-such-measurement, expected one of (\w+, )*live, /,
    );
    expect(end.exitCode).toBe(1);
  });
});
