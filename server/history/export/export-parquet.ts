import { ByteWriter, ParquetWriter } from 'hyparquet-writer';
import type { SampleStore } from '../../ports/sample-store.ts';
import { reasonText, statusText } from './export-csv.ts';
import { exportPieces, type ExportPiece, type Selection } from './selection.ts';

/** Rows that are in memory at once; each row group of the file has about as many. */
const ROWS_A_GROUP = 100_000;

const SCHEMA = [
  { name: 'root', num_children: 6 },
  { name: 'time', type: 'INT64', repetition_type: 'REQUIRED', converted_type: 'TIMESTAMP_MILLIS' },
  { name: 'series', type: 'BYTE_ARRAY', repetition_type: 'REQUIRED', converted_type: 'UTF8' },
  { name: 'value', type: 'DOUBLE', repetition_type: 'OPTIONAL' },
  { name: 'unit', type: 'BYTE_ARRAY', repetition_type: 'REQUIRED', converted_type: 'UTF8' },
  { name: 'status', type: 'BYTE_ARRAY', repetition_type: 'REQUIRED', converted_type: 'UTF8' },
  { name: 'reason', type: 'BYTE_ARRAY', repetition_type: 'OPTIONAL', converted_type: 'UTF8' },
] as const;

/** The selection as an Apache Parquet file, one row a sample, row group by row group; without a value it is null. */
export async function* parquetExport(
  store: SampleStore,
  selection: Selection,
  signal: AbortSignal,
): AsyncGenerator<Uint8Array> {
  const bytes = new ByteWriter();
  const file = new ParquetWriter({ writer: bytes, schema: [...SCHEMA], createdBy: 'sievewright' });
  let pieces: ExportPiece[] = [];
  let rows = 0;
  for await (const piece of exportPieces(store, selection, signal)) {
    pieces.push(piece);
    rows += piece.columns.timeMs.length;
    if (rows < ROWS_A_GROUP) continue;
    await file.write({ columnData: columnsOf(pieces), rowGroupSize: rows });
    yield taken(bytes);
    pieces = [];
    rows = 0;
  }
  if (rows > 0) await file.write({ columnData: columnsOf(pieces), rowGroupSize: rows });
  await file.finish();
  yield taken(bytes);
}

function columnsOf(pieces: readonly ExportPiece[]) {
  return [
    { name: 'time', data: pieces.flatMap(({ columns }) => Array.from(columns.timeMs, (ms) => new Date(ms))) },
    { name: 'series', data: repeated(pieces, ({ definition }) => definition.name) },
    { name: 'value', data: pieces.flatMap(({ columns }) => Array.from(columns.value, orNull)) },
    { name: 'unit', data: repeated(pieces, ({ definition }) => definition.unit) },
    { name: 'status', data: pieces.flatMap(({ columns }) => Array.from(columns.status, statusText)) },
    {
      name: 'reason',
      data: pieces.flatMap(({ columns }) =>
        Array.from(columns.reason, (stored) => reasonText(stored) || null),
      ),
    },
  ];
}

function repeated(pieces: readonly ExportPiece[], text: (piece: ExportPiece) => string): string[] {
  return pieces.flatMap((piece) => new Array<string>(piece.columns.timeMs.length).fill(text(piece)));
}

function orNull(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}

/** What was written so far; the writer goes on at its offset with an empty buffer. */
function taken(bytes: ByteWriter): Uint8Array {
  const part = bytes.getBytes().slice();
  bytes.index = 0;
  return part;
}
