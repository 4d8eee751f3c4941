/** Run as a process of its own: a server in a storm of alarms, which says how many transitions its journal has taken. */
import { writeSync } from 'node:fs';
import { setTimeout } from 'node:timers/promises';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { after, pipelineRig } from '#tests/pipeline/pipeline-rig.ts';
import { STORM, STORM_RULES, stormReadings } from './alarm-storm.ts';

const [, , file] = process.argv;
if (file === undefined) throw new Error('Name the file to write.');

const STDOUT = 1;
const TICK_MS = 250;
const store = openRecordStore({ file });
let journalled = 0;
const records = {
  ...store,
  async journalAlarms(...said: Parameters<typeof store.journalAlarms>) {
    await store.journalAlarms(...said);
    journalled += said[0].length;
    // At once and not through a stream: what is said here has been journalled, whatever happens next.
    if (said[0].length > 0) writeSync(STDOUT, `${journalled}\n`);
  },
};
const rig = await pipelineRig({ rules: STORM_RULES, records });
const readings = stormReadings(after(0));
let told = 0;
for (let atMs = TICK_MS; atMs <= STORM.lengthMs + 1000; atMs += TICK_MS) {
  const nowMs = after(atMs / 1000);
  const first = told;
  while ((readings[told]?.arrivalMs ?? Infinity) <= nowMs) told += 1;
  rig.pipeline.sink.readings(readings.slice(first, told));
  await rig.tickAt(nowMs);
  // As fast as live, so that a kill meets it at work and at rest.
  await setTimeout(TICK_MS);
}
