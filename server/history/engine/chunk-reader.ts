import { partsOfChunk, type PartBytes } from '../codec/chunk-codec.ts';
import { decodedPart } from '../codec/part-codec.ts';
import { joinedSamples, NO_SAMPLES, type Samples } from '../samples.ts';
import { MINUTE_MS } from './blocks.ts';
import type { ChunkEntry } from './chunk-table.ts';
import { bytesIn, type SqliteFile } from './sqlite-file.ts';

/** A stretch of a chunk; the first begins with the chunk's span, the last ends with it. */
export interface ChunkPart {
  readonly samples: Samples;
  readonly fromMs: number;
  readonly toMs: number;
}

/** Decodes chunks, a part at a time, and keeps the latest for the next question: it is mostly about the same part. */
export interface ChunkReader {
  samples(chunk: ChunkEntry): Samples;
  partAt(chunk: ChunkEntry, timeMs: number): ChunkPart;
  /** When any chunk was changed. */
  forget(): void;
}

type Damaged = (chunk: ChunkEntry, because: string) => void;

/** Decoded, half a megabyte. */
const MOST_PARTS_KEPT = 8;

export function newChunkReader(file: SqliteFile, damaged: Damaged): ChunkReader {
  let opened: { readonly key: string; readonly parts: readonly PartBytes[] } | null = null;
  const recent = newRecentParts();

  function attempt<T>(chunk: ChunkEntry, otherwise: T, work: () => T): T {
    try {
      return work();
    } catch (error) {
      damaged(chunk, String(error));
      return otherwise;
    }
  }
  function partsOf(chunk: ChunkEntry): readonly PartBytes[] {
    const key = keyOf(chunk);
    if (opened?.key === key) return opened.parts;
    const row = file.first('SELECT data FROM chunk WHERE id = ?', chunk.id);
    const parts = row === null ? [] : attempt(chunk, [], () => partsOfChunk(bytesIn(row, 'data')));
    opened = { key, parts };
    return parts;
  }
  const decoded = (chunk: ChunkEntry, { bytes }: PartBytes): Samples =>
    attempt(chunk, NO_SAMPLES, () => decodedPart(bytes));

  return {
    samples: (chunk) => joinedSamples(partsOf(chunk).map((part) => decoded(chunk, part))),
    partAt(chunk, timeMs) {
      const parts = partsOf(chunk);
      const after = parts.findIndex((part, i) => i > 0 && part.firstMs > timeMs);
      const index = after === -1 ? parts.length - 1 : after - 1;
      const part = parts[index];
      const startMs = chunk.minute * MINUTE_MS;
      if (part === undefined)
        return { samples: NO_SAMPLES, fromMs: startMs, toMs: startMs + chunk.spanMinutes * MINUTE_MS };
      return {
        samples: recent.of(`${keyOf(chunk)} ${part.firstMs}`, () => decoded(chunk, part)),
        fromMs: index === 0 ? startMs : part.firstMs,
        toMs: parts[index + 1]?.firstMs ?? startMs + chunk.spanMinutes * MINUTE_MS,
      };
    },
    forget() {
      opened = null;
      recent.forget();
    },
  };
}

interface RecentParts {
  of(key: string, decode: () => Samples): Samples;
  forget(): void;
}

function newRecentParts(): RecentParts {
  const byKey = new Map<string, Samples>();
  return {
    of(key, decode) {
      const samples = byKey.get(key) ?? decode();
      // A map keeps its order: put in anew it is the newest, and the first is the oldest.
      byKey.delete(key);
      byKey.set(key, samples);
      const [oldest] = byKey.keys();
      if (byKey.size > MOST_PARTS_KEPT && oldest !== undefined) byKey.delete(oldest);
      return samples;
    },
    forget: () => byKey.clear(),
  };
}

/** Beside a running server, another chunk may stand under the same id a moment later. */
function keyOf({ id, spanMinutes, count }: ChunkEntry): string {
  return `${id} ${spanMinutes} ${count}`;
}
