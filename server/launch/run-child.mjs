import { spawn } from 'node:child_process';
import os from 'node:os';
import { PROJECT_ROOT } from './project-root.mjs';

/** @type {readonly NodeJS.Signals[]} */
const PASSED_ON = ['SIGINT', 'SIGTERM', 'SIGHUP'];

/**
 * How a child ended. `interruptedBy` is the signal that we were sent while it ran, if any.
 *
 * @typedef {object} ChildEnd
 * @property {number} exitCode as a shell would say it: 128 + the signal's number for a child that a signal ended
 * @property {string} output what it wrote, when that was not shown
 * @property {NodeJS.Signals | undefined} interruptedBy
 */

/**
 * Runs one program to its end. A signal sent to us goes on to it, and we wait for it all the same.
 *
 * @param {readonly [string, ...string[]]} command the program and its arguments
 * @param {{ show: boolean, env?: NodeJS.ProcessEnv, cwd?: string }} options show: write to our own output at once
 * @returns {Promise<ChildEnd>}
 */
export function runChild(command, options) {
  const [program, ...args] = command;
  const child = spawn(program, args, {
    cwd: options.cwd ?? PROJECT_ROOT,
    env: options.env ?? process.env,
    stdio: options.show ? 'inherit' : ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream?.setEncoding('utf8').on('data', (/** @type {string} */ text) => (output += text));
  }
  const signals = passSignalsTo(child);
  return new Promise((resolve, reject) => {
    child.once('error', (error) => {
      signals.stop();
      reject(error);
    });
    child.once('close', (code, signal) => {
      signals.stop();
      resolve({ exitCode: exitCodeOf(code, signal), output, interruptedBy: signals.received() });
    });
  });
}

/**
 * A terminal sends its Ctrl-C to the child as well as to us. A second one would mean "at once, whatever you
 * are doing" to some tools, so it is passed on only where no terminal did.
 *
 * @param {import('node:child_process').ChildProcess} child
 */
function passSignalsTo(child) {
  /** @type {NodeJS.Signals | undefined} */
  let received;
  /** @param {NodeJS.Signals} signal */
  const pass = (signal) => {
    received = signal;
    if (signal !== 'SIGINT' || !process.stdin.isTTY) child.kill(signal);
  };
  for (const signal of PASSED_ON) process.on(signal, pass);
  return {
    received: () => received,
    stop: () => {
      for (const signal of PASSED_ON) process.off(signal, pass);
    },
  };
}

/**
 * @param {number | null} code
 * @param {NodeJS.Signals | null} signal
 */
export function exitCodeOf(code, signal) {
  return code ?? 128 + (signal === null ? 0 : os.constants.signals[signal]);
}
