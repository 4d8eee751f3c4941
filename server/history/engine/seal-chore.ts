import { MINUTE_MS, SEALING_LEVEL, spanOf } from './blocks.ts';
import type { Chore } from './chore.ts';
import { newSealCycle, type SealCycleParts } from './seal-cycle.ts';

/** 36 MB of samples, ten minutes of 3,300 tags; a cycle then begins even if ten minutes are not over. */
const SEAL_ABOVE_SAMPLES = 2_000_000;
const SEAL_EVERY_MS = spanOf(SEALING_LEVEL) * MINUTE_MS;

/** Seals whenever ten minutes of the clock are over, or memory must be freed. */
export function newSealChore(parts: SealCycleParts & { readonly nowMs: () => number }): Chore {
  const { pending, nowMs } = parts;
  const cycle = newSealCycle(parts);
  let sealedBlock = Math.floor(nowMs() / SEAL_EVERY_MS);
  return {
    step(isForced) {
      if (!cycle.isRunning()) {
        const block = Math.floor(nowMs() / SEAL_EVERY_MS);
        const isFull = pending.total() > SEAL_ABOVE_SAMPLES;
        if (pending.total() === 0 || !(isForced || isFull || block !== sealedBlock)) return false;
        sealedBlock = block;
        cycle.begin(!isForced && !isFull);
      }
      cycle.slice();
      return true;
    },
    abandon() {
      cycle.abandon();
      sealedBlock = NaN;
    },
  };
}
