/**
 * @typedef {import('./started-process.mjs').StartedProcess} StartedProcess
 * @typedef {import('./started-process.mjs').ProcessEnd} ProcessEnd
 */
import { LaunchFault } from './launch-fault.mjs';

/** @type {readonly NodeJS.Signals[]} */
const STOP_SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'];

/**
 * Keeps processes going until somebody asks to stop, or until one of them ends by itself: then the others
 * are stopped too.
 *
 * @param {readonly StartedProcess[]} processes
 * @returns {Promise<number>} the exit code: 0 only when all were asked to stop, and did so by themselves
 */
export async function runTogether(processes) {
  const asked = stopAsked();
  const fallen = await Promise.race([asked, ...processes.map((one) => one.ended)]);
  if (fallen === undefined) console.log('\nStopping ...');
  const ends = await Promise.all(processes.map((one) => one.stop()));
  if (fallen !== undefined) {
    if (!fallen.saidWhy) throw endedByItself(fallen);
    return 1;
  }
  for (const end of ends) reportUnclean(end);
  const areClean = ends.every((end) => end.isClean);
  if (areClean) console.log('Stopped.');
  return areClean ? 0 : 1;
}

/**
 * Further signals change nothing: npm passes on a Ctrl-C that the terminal has sent to us already.
 *
 * @returns {Promise<undefined>}
 */
function stopAsked() {
  return new Promise((resolve) => {
    for (const signal of STOP_SIGNALS) process.on(signal, () => resolve(undefined));
  });
}

/** @param {ProcessEnd} end */
function reportUnclean(end) {
  if (end.isClean) return;
  const got = end.wasKilled ? 'no end within 8 s, so it was ended by force' : `exit code ${end.exitCode}`;
  const remedy = 'look at the lines above';
  console.error(
    new LaunchFault('LAUNCH_PROCESS', { subject: end.name, got, expected: 'a clean stop', remedy }).message,
  );
}

/** @param {ProcessEnd} end */
function endedByItself(end) {
  return new LaunchFault('LAUNCH_PROCESS', {
    subject: end.name,
    got: `exit code ${end.exitCode}`,
    expected: 'it to run until it is stopped',
    remedy: 'everything else was stopped too; look at the lines above',
  });
}
