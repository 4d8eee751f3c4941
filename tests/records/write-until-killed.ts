/** Run as a process of its own: writes one entry after the other and says each that was acknowledged. */
import { writeSync } from 'node:fs';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { aLot, aMark, anAlarm, aTransition, said } from '#tests/support/record-builders.ts';

const [, , file, entryCount] = process.argv;
if (file === undefined) throw new Error('Name the file to write.');

const STDOUT = 1;
const store = openRecordStore({ file });
for (let entry = 0; entry < Number(entryCount); entry++) {
  const text = String(entry);
  await store.writeMark(aMark({ text, timeMs: said(entry).timeMs }), said(entry));
  await store.startLot(aLot({ number: text }), said(entry));
  await store.journalAlarms(
    [aTransition({ alarm: text, timeMs: said(entry).timeMs })],
    [anAlarm({ id: text, raisedMs: said(entry).timeMs })],
  );
  // At once and not through a stream: what is said here has been acknowledged, whatever happens next.
  writeSync(STDOUT, `${text}\n`);
}
