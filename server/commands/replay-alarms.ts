/**
 * `npm run replay-alarms -- --rules <file> --from <time> --to <time> [--json] [--config config/plant.yaml] [--data data]`:
 * what the alarm rules of the file would have done over recorded history, beside those in force; also while the server
 * runs, and without changing anything. The file is a proposal as `server/contract/alarm-replay.ts` describes it.
 */
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { loadConfig } from '../config/load-config.ts';
import type { AlarmParameter } from '../contract/alarm-message.ts';
import type { ReplayAnswer } from '../contract/alarm-replay.ts';
import { Fault } from '../contract/faults.ts';
import { openSampleStore } from '../history/open-sample-store.ts';
import { systemClock } from '../pipeline/system-clock.ts';
import { openRecordStore } from '../records/open-record-store.ts';
import { alarmStudy } from '../study/alarm-study.ts';
import { instant, invalid, runCommand, say } from './run-command.ts';

const OPTIONS = {
  data: 'data',
  config: 'config/plant.yaml',
  rules: undefined as string | undefined,
  from: undefined as string | undefined,
  to: undefined as string | undefined,
  json: false,
};

await runCommand(OPTIONS, async ({ data, config: file, rules, from, to, json }) => {
  const [fromMs, toMs] = [instant('from', from), instant('to', to)];
  const config = await loadConfig(file);
  const proposal = await textOf(rules);
  const recordsFile = join(data, 'records.sqlite');
  if (!existsSync(recordsFile)) throw noRecords(recordsFile);
  const samples = await openSampleStore({ folder: join(data, 'history'), isReadOnly: true });
  const records = openRecordStore({ file: recordsFile });
  try {
    const study = alarmStudy({ config, samples, records, clock: systemClock });
    const answer = await study.replay({ fromMs, toMs, proposal }, new AbortController().signal);
    if (json) say(JSON.stringify(answer));
    else for (const line of linesOf(answer)) say(line);
  } finally {
    await Promise.all([samples.close(), records.close()]);
  }
  return 0;
});

function linesOf({ cost, proposed, inForce, ...answer }: ReplayAnswer): readonly string[] {
  const width = Math.max(5, ...cost.map(({ alarm }) => alarm.length));
  const row = (rule: string, before: string | number, after: string | number) =>
    `${rule.padEnd(width)}  ${String(before).padStart(8)}  ${String(after).padStart(8)}`;
  return [
    `${timeText(answer.fromMs)} to ${timeText(answer.toMs)}, ${answer.samples} samples. Annunciations:`,
    '',
    row('rule', 'in force', 'proposed'),
    ...cost.map((one) => row(one.alarm, one.inForce, one.proposed)),
    row('all', inForce.annunciations, proposed.annunciations),
    row('most in ten minutes', inForce.tenMinutesMax, proposed.tenMinutesMax),
    '',
    ...proposed.stoodBefore.map((alarm) => `${alarm} stood already when the time began.`),
    ...answer.withoutHistory.map(
      (name) => `${name} has no history in this time: what rests on it is not judged.`,
    ),
    ...proposed.occurrences.map(occurrenceText),
    ...(proposed.isCut ? ['Only the first are listed.'] : []),
  ];
}

function occurrenceText({
  alarm,
  annunciation,
  clearedMs,
}: ReplayAnswer['proposed']['occurrences'][number]): string {
  const { code, priority, params, timeMs } = annunciation;
  const [value, limit] = [quantityText(params['value']), quantityText(params['limit'] ?? params['target'])];
  const told = [code, value, limit === '' ? '' : `(limit ${limit})`].filter((part) => part !== '').join(' ');
  const end = clearedMs === null ? 'stood at the end' : `for ${((clearedMs - timeMs) / 1000).toFixed(1)} s`;
  return `${timeText(timeMs)}  ${priority.padEnd(8)}  ${alarm}  ${told}, ${end}`;
}

function quantityText(parameter: AlarmParameter | undefined): string {
  if (typeof parameter !== 'object') return '';
  return `${Number(parameter.value.toPrecision(6))} ${parameter.unit}`;
}

function timeText(timeMs: number): string {
  return new Date(timeMs).toISOString();
}

async function textOf(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (cause) {
    throw invalid('--rules', cause instanceof Error ? cause.message : String(cause), 'a readable file');
  }
}

function noRecords(file: string): Fault {
  return new Fault('DATA_FOLDER', {
    subject: file,
    got: 'no such file',
    expected: 'the records of a server that has run',
    remedy: 'name its folder with --data',
  });
}
