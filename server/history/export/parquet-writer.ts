import { ByteWriter, ParquetWriter } from 'hyparquet-writer';
import type { ExportedSeries, ExportPiece, PieceWriter } from './piece-writer.ts';
import { reasonText, statusText } from './stored-text.ts';

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

/**
 * An Apache Parquet file, one row a sample, row group by row group; without a value it is null. The file's own
 * key-value list says the unit of each series, too.
 */
export function newParquetWriter(series: readonly ExportedSeries[]): PieceWriter {
  const bytes = new ByteWriter();
  const kvMetadata = series.map(({ name, unit }) => ({ key: `unit of ${name}`, value: unit }));
  const file = new ParquetWriter({
    writer: bytes,
    schema: [...SCHEMA],
    createdBy: 'sievewright',
    kvMetadata,
  });
  let pieces: ExportPiece[] = [];
  let rows = 0;
  const writeGroup = async (): Promise<void> => {
    await file.write({ columnData: columnsOf(pieces), rowGroupSize: rows });
    pieces = [];
    rows = 0;
  };
  return {
    async add(piece) {
      pieces.push(piece);
      rows += piece.columns.timeMs.length;
      if (rows >= ROWS_A_GROUP) await writeGroup();
      return taken(bytes);
    },
    async finish() {
      if (rows > 0) await writeGroup();
      await file.finish();
      return taken(bytes);
    },
  };
}

function columnsOf(pieces: readonly ExportPiece[]) {
  return [
    { name: 'time', data: pieces.flatMap(({ columns }) => Array.from(columns.timeMs, (ms) => new Date(ms))) },
    { name: 'series', data: repeated(pieces, ({ name }) => name) },
    { name: 'value', data: pieces.flatMap(({ columns }) => Array.from(columns.value, orNull)) },
    { name: 'unit', data: repeated(pieces, ({ unit }) => unit) },
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
function taken(bytes: ByteWriter): Uint8Array<ArrayBuffer> {
  const part = bytes.getBytes().slice();
  bytes.index = 0;
  return part;
}
