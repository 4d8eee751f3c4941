import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { recordStoreSuite } from './record-store-suite.ts';

const folder = mkdtempSync(join(tmpdir(), 'records-'));
let opened = 0;

afterAll(() => rmSync(folder, { recursive: true }));

recordStoreSuite('the SQLite file', () => openRecordStore({ file: join(folder, `${opened++}.sqlite`) }));
recordStoreSuite('the store in memory', memoryRecordStore);
