import { chromium, type Browser } from 'playwright-core';
import { CHROMIUM_MISSING, findChromium } from '#server/launch/chromium.mjs';

/** The Chromium of this machine, as the set-up found or brought it. Throws what to install when there is none. */
function chromiumPath(): string {
  const found = findChromium();
  if (found === undefined) throw new Error(CHROMIUM_MISSING);
  return found;
}

/** A browser of the test's own, without a window. The test closes it. */
export function launchChromium(): Promise<Browser> {
  return chromium.launch({ executablePath: chromiumPath(), args: ['--disable-gpu'] });
}
