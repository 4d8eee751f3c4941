import { STORED_STATUS, unknownReason, STORED_REASON } from '../../contract/stored-status.ts';
import type { SampleStore } from '../../ports/sample-store.ts';
import { exportPieces, selectedDefinitions, type ExportPiece, type Selection } from './selection.ts';

const LINE_END = '\r\n';

/**
 * The selection as CSV (RFC 4180), one line a sample, piece by piece: `time` in ISO 8601 (UTC, milliseconds),
 * `series`, the value, `status`, `reason`. With one unit throughout, it stands in the header: `value [kg/h]`; with
 * several, the header is `value` and each line has its own in the column `unit`.
 */
export async function* csvExport(
  store: SampleStore,
  selection: Selection,
  signal: AbortSignal,
): AsyncGenerator<string> {
  const units = new Set((await selectedDefinitions(store, selection)).map(({ unit }) => unit));
  const [unit] = units;
  const isOneUnit = units.size === 1 && unit !== undefined;
  const value = isOneUnit ? `value [${unit}]` : 'value,unit';
  yield `time,series,${value},status,reason${LINE_END}`;
  for await (const piece of exportPieces(store, selection, signal)) yield linesOf(piece, !isOneUnit);
}

function linesOf({ definition, columns }: ExportPiece, hasUnitColumn: boolean): string {
  const name = field(definition.name);
  const unit = hasUnitColumn ? `,${field(definition.unit)}` : '';
  let text = '';
  for (const [i, timeMs] of columns.timeMs.entries()) {
    const value = columns.value[i] ?? NaN;
    const shown = Number.isNaN(value) ? '' : String(value);
    const status = statusText(columns.status[i] ?? 0);
    text += `${new Date(timeMs).toISOString()},${name},${shown}${unit},${status},${reasonText(columns.reason[i] ?? 0)}${LINE_END}`;
  }
  return text;
}

/** Quoted where it has a comma, a quote or a line end; quotes inside are doubled. */
function field(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export function statusText(stored: number): string {
  return Object.entries(STORED_STATUS).find(([, number]) => number === stored)?.[0] ?? String(stored);
}

/** Empty when there is nothing to say. */
export function reasonText(stored: number): string {
  if (stored === STORED_REASON.none) return '';
  const ours = Object.entries(STORED_REASON).find(([, number]) => number === stored)?.[0];
  return unknownReason(stored) ?? ours ?? String(stored);
}
