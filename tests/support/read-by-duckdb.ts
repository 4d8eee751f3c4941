import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance, type Json } from '@duckdb/node-api';

const READERS = {
  csv: (file: string) =>
    `read_csv('${file}', header = true, strict_mode = true, delim = ',', quote = '"', escape = '"')`,
  parquet: (file: string) => `read_parquet('${file}')`,
};

/** What DuckDB, which shares no code with ours, finds in a file: `query` reads it by the name `file`. */
export async function readByDuckDb(
  bytes: Uint8Array,
  format: keyof typeof READERS,
  query: string,
): Promise<Json[][]> {
  const folder = await mkdtemp(join(tmpdir(), 'sievewright-export-'));
  try {
    const file = join(folder, `it.${format}`);
    await writeFile(file, bytes);
    const connection = await (await DuckDBInstance.create(':memory:', { threads: '1' })).connect();
    await connection.run(`CREATE VIEW file AS SELECT * FROM ${READERS[format](file)}`);
    const rows = await connection.runAndReadAll(query);
    connection.closeSync();
    return rows.getRowsJson();
  } finally {
    await rm(folder, { recursive: true });
  }
}
