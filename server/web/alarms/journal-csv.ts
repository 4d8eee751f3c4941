import type { AlarmParameter } from '../../contract/alarm-message.ts';
import { JOURNAL_EXPORT_MAX, type JournalEntry } from '../../contract/alarm-journal.ts';

const COLUMNS = [
  'id',
  'time',
  'line',
  'machine',
  'alarm',
  'subject',
  'code',
  'priority',
  'from',
  'to',
  'by',
  'value',
  'limit',
  'unit',
  'reason',
  'until',
] as const;

/** Rows that go out together: one write to the network for each would cost more than making it. */
const ROWS_A_PIECE = 200;

/**
 * The journal as CSV after RFC 4180; times in ISO 8601, UTC. What would be a formula in a spreadsheet is kept a text by
 * an apostrophe before it. An export that reached its bound says so in its last row.
 */
export async function* journalCsv(entries: AsyncIterable<JournalEntry>): AsyncGenerator<string, undefined> {
  let rows: string[] = [row(COLUMNS)];
  let count = 0;
  for await (const entry of entries) {
    if (count === JOURNAL_EXPORT_MAX) {
      rows.push(row([`only the first ${JOURNAL_EXPORT_MAX} entries; ask for the time after the last one`]));
      break;
    }
    count += 1;
    rows.push(row(cellsOf(entry)));
    if (rows.length < ROWS_A_PIECE) continue;
    yield rows.join('');
    rows = [];
  }
  yield rows.join('');
}

function cellsOf(entry: JournalEntry): readonly string[] {
  const { id, timeMs, line, machine, alarm, subject, code, priority, from, to, by, params } = entry;
  const value = params['value'];
  const limit = params['limit'] ?? params['target'];
  return [
    String(id),
    isoTime(timeMs),
    line,
    machine ?? '',
    alarm,
    subject,
    code,
    priority,
    from,
    to,
    by ?? '',
    numberOf(value),
    numberOf(limit),
    unitOf(value) || unitOf(limit),
    entry.reason ?? '',
    entry.untilMs === undefined ? '' : isoTime(entry.untilMs),
  ];
}

function isoTime(timeMs: number): string {
  return new Date(timeMs).toISOString();
}

function numberOf(parameter: AlarmParameter | undefined): string {
  return typeof parameter === 'object' ? String(parameter.value) : '';
}

function unitOf(parameter: AlarmParameter | undefined): string {
  return typeof parameter === 'object' ? parameter.unit : '';
}

function row(cells: readonly string[]): string {
  return `${cells.map(cellText).join(',')}\r\n`;
}

const IS_NUMBER = /^-?\d+(\.\d+)?(e[+-]?\d+)?$/;

function cellText(text: string): string {
  const harmless = /^[=+\-@\t\r]/.test(text) && !IS_NUMBER.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}
