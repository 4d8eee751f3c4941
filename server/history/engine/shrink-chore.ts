import { HOUR_MS } from './blocks.ts';
import type { Chore } from './chore.ts';
import { pragma } from './schema.ts';
import type { SqliteFile } from './sqlite-file.ts';

const LOOK_EVERY_MS = HOUR_MS;
/** A megabyte at a time. */
const PAGES_A_SLICE = 256;
/** Below this the next hours fill the freed pages anyway. */
const LEAST_SHARE_WORTH_IT = 0.25;

/** Gives the disk back what journal and retention have freed, when it is much. */
export function newShrinkChore(file: SqliteFile, tickMs: () => number): Chore {
  let isShrinking = false;
  let nextLookMs = 0;
  const look = (): void => {
    if (tickMs() < nextLookMs) return;
    nextLookMs = tickMs() + LOOK_EVERY_MS;
    isShrinking = pragma(file, 'freelist_count') > LEAST_SHARE_WORTH_IT * pragma(file, 'page_count');
  };
  return {
    step(isForced) {
      look();
      if (!isForced && !isShrinking) return false;
      isShrinking = pragma(file, 'freelist_count') > 0;
      if (isShrinking) file.exec(`PRAGMA incremental_vacuum(${PAGES_A_SLICE})`);
      return isShrinking;
    },
    abandon() {
      isShrinking = false;
    },
  };
}
