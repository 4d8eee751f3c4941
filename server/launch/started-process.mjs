import { fork } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { environmentWith } from './pinned-node.mjs';
import { PROJECT_ROOT } from './project-root.mjs';
import { exitCodeOf } from './run-child.mjs';

const GRACE_MS = 8000;
const ENDED_BY_SIGTERM = 143;
const STOP_WITH_PARENT = new URL('stop-with-parent.mjs', import.meta.url).href;
/** Each of our messages starts with its code; see server/contract/faults.ts. */
const CODED = /^[A-Z]+(_[A-Z]+)+ /;

/**
 * One of our processes, from its start to its end.
 *
 *     starting --"<name> ready ..."--> ready
 *         |                              |
 *         +----- stop(): SIGTERM --------+--> stopping --8 s--> killed
 *         |                              |        |                |
 *         +------- exits by itself ------+--------+----------------+--> ended
 *
 * @typedef {object} StartedProcess
 * @property {string} name
 * @property {Promise<string>} ready what follows "<name> ready" on its line; never settles if the process ends first
 * @property {Promise<ProcessEnd>} ended
 * @property {() => Promise<ProcessEnd>} stop
 *
 * @typedef {object} ProcessEnd
 * @property {string} name
 * @property {number} exitCode
 * @property {boolean} saidWhy whether it wrote a message with a code
 * @property {boolean} isClean whether it did what a stop asks for: ended with 0, or at once if it was not ready yet
 * @property {boolean} wasKilled whether it had to be ended by force
 */

/**
 * Starts a TypeScript file on the pinned Node, in a process group of its own: a terminal's Ctrl-C then
 * reaches only us, and each process is asked to stop exactly once.
 *
 * @param {{ name: string, node: string, file: string, args: readonly string[], nodeArgs?: readonly string[] }} options
 * @returns {StartedProcess}
 */
export function startProcess({ name, node, file, args, nodeArgs = [] }) {
  const child = fork(file, args, {
    cwd: PROJECT_ROOT,
    env: environmentWith(node),
    execPath: node,
    execArgv: [...nodeArgs, '--import', STOP_WITH_PARENT],
    detached: true,
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  const end = { name, exitCode: 0, saidWhy: false, isClean: false, wasKilled: false };
  let isReady = false;

  const ready = linesOf(child.stdout, (line, resolve) => {
    if (line.startsWith(`${name} ready`)) {
      isReady = true;
      resolve(line.slice(`${name} ready`.length).trim());
    } else console.log(`${name}: ${line}`);
  });
  void linesOf(child.stderr, (line) => {
    const isCoded = CODED.test(line);
    end.saidWhy ||= isCoded;
    console.error(isCoded ? line : `${name}: ${line}`);
  });
  /** @type {Promise<ProcessEnd>} */
  const ended = new Promise((resolve) => {
    child.once('error', (error) => console.error(`${name}: ${error.message}`));
    child.once('close', (code, signal) => {
      const exitCode = exitCodeOf(code, signal);
      const isClean = exitCode === 0 || (!isReady && exitCode === ENDED_BY_SIGTERM);
      resolve({ ...end, exitCode, isClean });
    });
  });
  return { name, ready, ended, stop: () => stop(child, end, ended) };
}

/**
 * @param {import('node:child_process').ChildProcess} child
 * @param {ProcessEnd} end
 * @param {Promise<ProcessEnd>} ended
 */
async function stop(child, end, ended) {
  if (process.platform !== 'win32') child.kill('SIGTERM');
  else if (child.connected) child.disconnect();
  const grace = setTimeout(() => {
    end.wasKilled = true;
    child.kill('SIGKILL');
  }, GRACE_MS);
  const outcome = await ended;
  clearTimeout(grace);
  return outcome;
}

/**
 * @param {import('node:stream').Readable | null} stream
 * @param {(line: string, resolve: (value: string) => void) => void} onLine
 * @returns {Promise<string>}
 */
function linesOf(stream, onLine) {
  return new Promise((resolve) => {
    if (stream === null) return;
    createInterface({ input: stream }).on('line', (line) => onLine(line, resolve));
  });
}

/** The one place that knows where the two main files are. */
export const MAIN_FILES = {
  simulator: fileURLToPath(new URL('../../simulator/main.ts', import.meta.url)),
  server: fileURLToPath(new URL('../main.ts', import.meta.url)),
};
