import { HOUR_MS } from './blocks.ts';
import type { Chore } from './chore.ts';
import { pragma } from './schema.ts';
import type { SqliteFile } from './sqlite-file.ts';

const LOOK_EVERY_MS = HOUR_MS;
/** A megabyte at a time. */
const PAGES_A_SLICE = 64;
/** Below this the next hours fill the freed pages anyway. */
const LEAST_SHARE_WORTH_IT = 0.25;

/** Gives the disk back what journal and retention have freed, when it is much. */
export function newShrinkChore(file: SqliteFile, tickMs: () => number): Chore {
  let isShrinking = false;
  let nextLookMs = 0;
  return {
    step(isForced) {
      const free = isForced || isShrinking || tickMs() >= nextLookMs ? pragma(file, 'freelist_count') : 0;
      if (!isForced && !isShrinking && tickMs() >= nextLookMs) {
        nextLookMs = tickMs() + LOOK_EVERY_MS;
        isShrinking = free > LEAST_SHARE_WORTH_IT * pragma(file, 'page_count');
      }
      if (free === 0) isShrinking = false;
      if (free === 0 || !(isForced || isShrinking)) return false;
      file.exec(`PRAGMA incremental_vacuum(${PAGES_A_SLICE})`);
      return true;
    },
    abandon() {
      isShrinking = false;
    },
  };
}
