import type { Command } from '../contract/commands.ts';
import type { Lot, Mark } from '../contract/records.ts';
import type { ChartRestart } from './step-alarms.ts';

/** What changes how a machine runs; a note does not. */
const RESTARTING_MARKS: ReadonlySet<Mark['kind']> = new Set(['setting', 'lot', 'repair']);

/** The lot or setting change that a command tells of: what a chart has learned before it no longer holds. */
export function restartOfCommand(command: Command, nowMs: number): readonly ChartRestart[] {
  switch (command.kind) {
    case 'start-lot':
      return [{ line: command.lot.line, machine: null, timeMs: nowMs }];
    case 'end-lot':
      return [{ line: command.line, machine: null, timeMs: nowMs }];
    case 'write-mark': {
      const { line, machine, kind } = command.mark;
      // A change that is noted later than it was made is known from now on; alarms do not go back in time.
      return RESTARTING_MARKS.has(kind) ? [{ line, machine, timeMs: nowMs }] : [];
    }
    default:
      return [];
  }
}

/** The same of recorded lots and marks, in ascending time. */
export function restartsOfRecords(lots: readonly Lot[], marks: readonly Mark[]): readonly ChartRestart[] {
  const atLots = lots.flatMap(({ line, startedMs, endedMs }) =>
    [startedMs, ...(endedMs === null ? [] : [endedMs])].map((timeMs) => ({ line, machine: null, timeMs })),
  );
  const atMarks = marks
    .filter(({ kind }) => RESTARTING_MARKS.has(kind))
    // Live a mark counts from when it was written, not from the time that it speaks of.
    .map(({ line, machine, writtenMs }) => ({ line, machine, timeMs: writtenMs }));
  return [...atLots, ...atMarks].sort((a, b) => a.timeMs - b.timeMs);
}
