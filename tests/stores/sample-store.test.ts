import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { openSampleStore } from '#server/history/open-sample-store.ts';
import type { SampleStore } from '#server/ports/sample-store.ts';
import { memorySampleStore } from '../support/memory-sample-store.ts';
import { sampleStoreSuite } from './sample-store-suite.ts';

const folders: string[] = [];

async function freshFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'sievewright-history-'));
  folders.push(folder);
  return folder;
}

afterAll(async () => {
  for (const folder of folders) await rm(folder, { recursive: true });
});

sampleStoreSuite('the history in a file', {
  open: async () => openSampleStore({ folder: await freshFolder() }),
  reopen: () => openSampleStore({ folder: folders.at(-1) ?? '' }),
});

sampleStoreSuite('the history in memory', {
  open: () => Promise.resolve<SampleStore>(memorySampleStore()),
  reopen: null,
});
