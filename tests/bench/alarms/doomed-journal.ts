/**
 * A process that journals a storm of alarms until it is killed: `doomed-journal.ts <file>`. It goes the way of the
 * server, as fast as it can: the alarm step, then the journal, then telling. On the standard output it tells how many
 * transitions the records have called durable. Run by `storm-kill.ts`.
 */
import { writeSync } from 'node:fs';
import { AlarmJournal } from '#server/pipeline/alarm-journal.ts';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { storm } from './storm.ts';
import { demoConfig } from './watched-plant.ts';

const [file = ''] = process.argv.slice(2);
const journal = new AlarmJournal(openRecordStore({ file }));
const { alarms } = await demoConfig();
let durable = 0;
for (const { transitions, changed } of storm(alarms)) {
  await journal.keep(transitions, changed);
  durable += transitions.length;
  writeSync(1, `${durable}\n`);
}
