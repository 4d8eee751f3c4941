import { numberIn, textIn, type SqliteFile } from './sqlite-file.ts';

/** More than this is not a row of batches still under way but a writer that starts somewhere else. */
const MOST_HOLES = 1024;

interface Progress {
  readonly sequence: number;
  /** Sequences below that have not come: two batches may overtake each other when the first was refused. */
  readonly holes: readonly number[];
}

/** What each writer has made durable, so that a batch that is sent again changes nothing. */
export interface Writers {
  isRepeat(writer: string, sequence: number): boolean;
  lastSequence(writer: string): number;
  /** Inside the transaction that makes the batch durable. */
  write(writer: string, sequence: number): void;
  /** Forgets what a transaction wrote that was undone. */
  reload(): void;
}

export function openWriters(file: SqliteFile): Writers {
  const progress = new Map<string, Progress>();
  const reload = (): void => {
    progress.clear();
    for (const row of file.all('SELECT name, sequence, holes FROM writer')) {
      const holes = textIn(row, 'holes').split(' ').filter(Boolean).map(Number);
      progress.set(textIn(row, 'name'), { sequence: numberIn(row, 'sequence'), holes });
    }
  };
  reload();
  return {
    isRepeat(writer, sequence) {
      const known = progress.get(writer);
      return known !== undefined && sequence <= known.sequence && !known.holes.includes(sequence);
    },
    lastSequence: (writer) => progress.get(writer)?.sequence ?? -1,
    write(writer, sequence) {
      const next = advanced(progress.get(writer), sequence);
      file.run('INSERT OR REPLACE INTO writer VALUES (?, ?, ?)', writer, next.sequence, next.holes.join(' '));
      progress.set(writer, next);
    },
    reload,
  };
}

function advanced(before: Progress | undefined, sequence: number): Progress {
  if (before === undefined) return { sequence, holes: [] };
  if (sequence <= before.sequence)
    return { ...before, holes: before.holes.filter((hole) => hole !== sequence) };
  const skipped = sequence - before.sequence - 1;
  if (skipped + before.holes.length > MOST_HOLES) return { sequence, holes: [] };
  return {
    sequence,
    holes: [...before.holes, ...Array.from({ length: skipped }, (_, i) => before.sequence + 1 + i)],
  };
}
