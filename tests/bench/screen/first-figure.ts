import type { Browser } from 'playwright-core';
import { playFeed, SCREEN } from './stage.ts';

const RUNS = 5;

/** From the press of Enter to the first figure on the Line view, each time in a browser that has never been here. */
export async function firstFigureMs(browser: Browser): Promise<readonly number[]> {
  const feed = await playFeed();
  const times: number[] = [];
  for (let run = 0; run < RUNS; run++) {
    const context = await browser.newContext({ viewport: SCREEN });
    const page = await context.newPage();
    await page.addInitScript(NOTICE);
    await page.goto(feed.url);
    times.push(
      await page
        .waitForFunction(() => Reflect.get(globalThis, 'firstFigureMs') as number)
        .then((seen) => seen.jsonValue()),
    );
    await context.close();
  }
  await feed.close();
  return times;
}

const NOTICE = `
new MutationObserver((_, watching) => {
  const figure = document.querySelector('.figure-card-value');
  if (figure === null || !/[0-9]/.test(figure.textContent)) return;
  watching.disconnect();
  window.firstFigureMs = performance.now();
}).observe(document, { subtree: true, childList: true, characterData: true });
`;
