import type { SampleColumns } from '../../ports/sample-store.ts';
import { decodedJournalRow, encodedJournalRow, type JournalBatch } from '../codec/journal-codec.ts';
import { unpackedBatch } from '../packed-batch.ts';
import { bytesIn, numberIn, type SqliteFile } from './sqlite-file.ts';

/** What is durable and not yet sealed, in order of arrival; one row a commit. */
export interface Journal {
  /** Inside a transaction. */
  write(batches: readonly JournalBatch[]): void;
  /** Number of the newest row; grows as long as the store is open. */
  newest(): number;
  /** The oldest row, if it is not newer than `seq`; false when there is none. Inside a transaction. */
  deleteOldest(seq: number): boolean;
  replay(take: (columns: SampleColumns) => void): void;
}

export type JournalDamaged = (seq: number, because: string) => void;

export function openJournal(file: SqliteFile, damaged: JournalDamaged): Journal {
  const row = file.first('SELECT coalesce(max(seq), 0) AS newest FROM journal');
  let newest = row === null ? 0 : numberIn(row, 'newest');
  return {
    write(batches) {
      file.run('INSERT INTO journal VALUES (?, ?)', newest + 1, encodedJournalRow(batches));
      newest++;
    },
    newest: () => newest,
    deleteOldest(seq) {
      const oldest = file.first('SELECT seq FROM journal WHERE seq <= ? ORDER BY seq LIMIT 1', seq);
      if (oldest === null) return false;
      file.run('DELETE FROM journal WHERE seq = ?', numberIn(oldest, 'seq'));
      return true;
    },
    replay(take) {
      for (const { seq, data } of rows(file)) {
        const batches = decodedOr(data, (because) => damaged(seq, because));
        for (const batch of batches) take(unpackedBatch(batch.packed));
      }
    },
  };
}

/** One at a time: all of them together may be larger than what the samples need in memory. */
function* rows(file: SqliteFile): Generator<{ readonly seq: number; readonly data: Uint8Array }> {
  let after = -1;
  for (;;) {
    const row = file.first('SELECT seq, data FROM journal WHERE seq > ? ORDER BY seq LIMIT 1', after);
    if (row === null) return;
    after = numberIn(row, 'seq');
    yield { seq: after, data: bytesIn(row, 'data') };
  }
}

function decodedOr(data: Uint8Array, damaged: (because: string) => void): readonly JournalBatch[] {
  try {
    return decodedJournalRow(data);
  } catch (error) {
    damaged(String(error));
    return [];
  }
}
