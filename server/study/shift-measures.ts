import type { ShiftMeasures } from '../contract/alarm-measures.ts';
import { Fault } from '../contract/faults.ts';
import type { RecordStore, TimeRange } from '../ports/record-store.ts';
import { measuresOf } from './alarm-measures.ts';

/** Two months of three shifts on two lines: each is read from the journal by itself. */
const SHIFTS_MAX = 400;

/**
 * The numbers of each shift that began in a time, newest first; of the one that runs, until now.
 *
 * @throws Fault REQUEST_INVALID for a time that holds too many
 */
export async function shiftMeasuresOf(
  records: RecordStore,
  range: TimeRange,
  nowMs: number,
): Promise<readonly ShiftMeasures[]> {
  const shifts = (await records.shifts(range))
    .filter(({ startedMs }) => startedMs >= range.fromMs && startedMs < nowMs)
    .toSorted((a, b) => b.startedMs - a.startedMs);
  if (shifts.length > SHIFTS_MAX) throw tooMany(shifts.length);
  const answer: ShiftMeasures[] = [];
  for (const { id, line, name, startedMs, endedMs } of shifts) {
    const toMs = endedMs ?? nowMs;
    if (toMs <= startedMs) continue;
    const measures = await measuresOf(records, { fromMs: startedMs, toMs }, line);
    answer.push({ shift: id, line, name, measures });
  }
  return answer;
}

function tooMany(got: number): Fault {
  return new Fault('REQUEST_INVALID', {
    subject: 'query shifts',
    got,
    expected: `<= ${SHIFTS_MAX}`,
    remedy: 'ask for a shorter time',
  });
}
