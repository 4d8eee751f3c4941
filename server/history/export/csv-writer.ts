import type { ExportedSeries, ExportPiece, PieceWriter } from './piece-writer.ts';
import { reasonText, statusText } from './stored-text.ts';

const LINE_END = '\r\n';

/**
 * CSV (RFC 4180), one line a sample: `time` in ISO 8601 (UTC, milliseconds), `series`, the value, `status`,
 * `reason`. With one unit throughout, it stands in the header: `value [kg/h]`; with several, the header is `value`
 * and each line has its own in the column `unit`.
 */
export function newCsvWriter(series: readonly ExportedSeries[]): PieceWriter {
  const units = new Set(series.map(({ unit }) => unit));
  const [unit] = units;
  const isOneUnit = units.size === 1 && unit !== undefined;
  const value = isOneUnit ? `value [${unit}]` : 'value,unit';
  let waiting = `time,series,${value},status,reason${LINE_END}`;
  const taken = (text: string): Promise<Uint8Array<ArrayBuffer>> => {
    const bytes = Uint8Array.from(Buffer.from(waiting + text));
    waiting = '';
    return Promise.resolve(bytes);
  };
  return {
    add: (piece) => taken(linesOf(piece, isOneUnit ? '' : `,${field(piece.unit)}`)),
    finish: () => taken(''),
  };
}

function linesOf({ name, columns }: ExportPiece, unit: string): string {
  const series = field(name);
  let text = '';
  for (const [i, timeMs] of columns.timeMs.entries()) {
    const value = columns.value[i] ?? NaN;
    const shown = Number.isNaN(value) ? '' : String(value);
    const said = `${statusText(columns.status[i] ?? 0)},${reasonText(columns.reason[i] ?? 0)}`;
    text += `${new Date(timeMs).toISOString()},${series},${shown}${unit},${said}${LINE_END}`;
  }
  return text;
}

/** Quoted where it has a comma, a quote or a line end; quotes inside are doubled. */
function field(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
