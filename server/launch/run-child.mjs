import { spawn } from 'node:child_process';
import os from 'node:os';
import { PROJECT_ROOT } from './project-root.mjs';

/** @type {readonly NodeJS.Signals[]} */
const PASSED_ON = ['SIGINT', 'SIGTERM', 'SIGHUP'];
const PATIENCE_MS = 2000;

/**
 * How a child ended. `interruptedBy` is the signal that we were sent while it ran, if any.
 *
 * @typedef {object} ChildEnd
 * @property {number} exitCode as a shell would say it: 128 + the signal's number for a child that a signal ended
 * @property {string} output what it wrote, when that was not shown
 * @property {NodeJS.Signals | undefined} interruptedBy
 */

/**
 * @typedef {object} RunOptions
 * @property {boolean} show whether it writes to our own output, at once; else its output is handed back
 * @property {boolean} [mayBeCutOff] whether it can be ended by force without harm, when it does not heed a signal
 * @property {NodeJS.ProcessEnv} [env]
 * @property {string} [cwd]
 */

/**
 * Runs one program to its end. A signal sent to us goes on to it, and we wait for it all the same.
 *
 * @param {readonly [string, ...string[]]} command the program and its arguments
 * @param {RunOptions} options
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
  const signals = passSignals((signal) => interrupt(child, signal, options));
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
 * are doing" to some tools, so it is passed on only where no terminal did. A tool that works unseen is asked
 * to end instead: what was started in the background has been told to take no notice of Ctrl-C.
 *
 * @param {import('node:child_process').ChildProcess} child
 * @param {NodeJS.Signals} signal
 * @param {RunOptions} options
 */
function interrupt(child, signal, { show, mayBeCutOff = false }) {
  if (!show) child.kill('SIGTERM');
  else if (signal !== 'SIGINT' || !process.stdin.isTTY) child.kill(signal);
  if (mayBeCutOff) setTimeout(() => child.kill('SIGKILL'), PATIENCE_MS).unref();
}

/** @param {(signal: NodeJS.Signals) => void} passOn */
function passSignals(passOn) {
  /** @type {NodeJS.Signals | undefined} */
  let received;
  /** @param {NodeJS.Signals} signal */
  const pass = (signal) => {
    received = signal;
    passOn(signal);
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
