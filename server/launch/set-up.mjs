/**
 * Makes a clone ready to run: packages by lock file, the pages built, and with `--browser` a Chromium for
 * the browser tests. What is there already is left alone, so a second run takes a fraction of a second.
 */
import { buildClient } from './build-client.mjs';
import { provideChromium } from './chromium.mjs';
import { installByLock } from './install.mjs';
import { endWith } from './launch-fault.mjs';
import { PROJECT_ROOT } from './project-root.mjs';

const EXIT_INTERRUPTED = 130;

await endWith(async () => {
  const steps = [
    () => installByLock(PROJECT_ROOT, say),
    () => buildClient(say),
    ...(process.argv.includes('--browser') ? [() => provideChromium(say)] : []),
  ];
  for (const step of steps) {
    if ((await step()) === 'interrupted') {
      say('Stopped before everything was ready. The same command goes on from here.');
      return EXIT_INTERRUPTED;
    }
  }
  return 0;
});

/** @param {string} line */
function say(line) {
  console.log(line);
}
