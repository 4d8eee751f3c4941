import { existsSync } from 'node:fs';
import path from 'node:path';
import { LaunchFault } from './launch-fault.mjs';
import { PROJECT_ROOT } from './project-root.mjs';

const PINNED_MAJOR = 24;

/**
 * The program loader that each pinned Linux binary names. A system with another C library has no such file,
 * and would say only that the binary "does not exist".
 *
 * @type {Readonly<Record<string, string>>}
 */
const LINUX_LOADERS = {
  x64: '/lib64/ld-linux-x86-64.so.2',
  arm64: '/lib/ld-linux-aarch64.so.1',
};

/**
 * The Node that the project runs on: the one that npm brought for this platform, else the one that runs
 * this, if it is new enough. TypeScript without a build step and the built-in database need it.
 *
 * @returns {string} path of the program
 */
export function pinnedNode() {
  const brought = broughtByNpm();
  if (brought !== undefined && existsSync(brought)) return brought;
  if (Number.parseInt(process.versions.node, 10) >= PINNED_MAJOR) return process.execPath;
  throw new LaunchFault('LAUNCH_NODE', {
    subject: `Node for ${process.platform}-${process.arch}`,
    got: process.versions.node,
    expected: `>= ${PINNED_MAJOR}`,
    remedy:
      brought === undefined
        ? `npm brings none for this platform, so install Node ${PINNED_MAJOR} and run the command again`
        : 'run npm start or npm test once: it brings the right one',
  });
}

/**
 * The environment in which every program that is started by name, a child's child too, gets the pinned Node.
 *
 * @param {string} node
 * @returns {NodeJS.ProcessEnv}
 */
export function environmentWith(node) {
  const inherited = process.env['PATH'] ?? '';
  return { ...process.env, PATH: `${path.dirname(node)}${path.delimiter}${inherited}` };
}

/** @returns {string | undefined} */
function broughtByNpm() {
  const onWindows = process.platform === 'win32';
  const loader = LINUX_LOADERS[process.arch];
  if (process.platform === 'linux' && (loader === undefined || !existsSync(loader))) return undefined;
  if (process.platform !== 'linux' && !onWindows) return undefined;
  const name = `node-${onWindows ? 'win' : 'linux'}-${process.arch}`;
  return path.join(PROJECT_ROOT, 'node_modules', name, 'bin', onWindows ? 'node.exe' : 'node');
}
