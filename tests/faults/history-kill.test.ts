import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { CRASH_POINTS } from '#server/history/engine/crash-point.ts';
import { lookFor, runUntilKilled, type Death } from '../support/crash-runs.ts';
import { SEED } from '../support/seed.ts';

const folder = mkdtempSync(join(tmpdir(), 'sievewright-kill-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** All on one folder, one after the other, so that each finds what the kills before it have left. */
const deaths: readonly Death[] = [
  ...CRASH_POINTS.filter((at) => at !== 'retention-durable').map((at, i): Death => ({
    at,
    passes: (SEED + i * 7) % 3,
  })),
  ...Array.from({ length: 6 }, (_, i): Death => ({ afterMs: 20 + ((SEED + i * 7919) % 400) })),
];

describe('kill -9 while recording', () => {
  let durable = -1;
  it.each(deaths)('loses nothing that was told durable, and the store opens again: %o', async (death) => {
    const lastDurable = await runUntilKilled(folder, death);
    // A recorder that dies at its first batch has told nothing; what those before it told still holds.
    durable = Math.max(durable, lastDurable);
    const found = lookFor(folder, durable);
    expect(found).toMatchObject({ lost: 0, torn: 0, refused: 0 });
    // The requirement is one second on a quiet machine; tests share theirs.
    expect(found.openedInMs).toBeLessThan(3000);
  });
});
