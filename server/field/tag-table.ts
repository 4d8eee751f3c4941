import { QUALITIES, type Reading } from '../contract/reading.ts';
import type { TagAddress } from '../ports/tag-source.ts';

/**
 * What is remembered of each tag of one endpoint, by the tag's index. Columns, because at 30,000 changes a
 * second this is written as often. NaN stands for "none": these numbers never leave the room.
 */
export interface TagTable {
  readonly tags: readonly TagAddress[];
  /** Source time of the last reading handed on, by the plant's clock. */
  readonly sourceMs: Float64Array;
  /** When the plant's server handed that reading over, by the plant's clock. */
  readonly serverMs: Float64Array;
  /** When it reached us, by our clock. */
  readonly arrivalMs: Float64Array;
  readonly value: Float64Array;
  readonly quality: Uint8Array;
  /** Source time, value and quality of the first reading of the present connection. */
  readonly firstSourceMs: Float64Array;
  readonly firstValue: Float64Array;
  readonly firstQuality: Uint8Array;
  /** How many readings were handed on: the busiest tags show best when the plant was at work. */
  readonly count: Uint32Array;
  /** When the subscription last sent the tag, by the monotonic clock; says whether it is deaf. */
  readonly notifiedMs: Float64Array;
  /** How often in a row a read found another value than the subscription had sent. */
  readonly contradictions: Uint8Array;
  /** 1 where the plant refused the tag on the present connection. */
  readonly isRefused: Uint8Array;
}

export function tagTable(tags: readonly TagAddress[]): TagTable {
  const none = () => new Float64Array(tags.length).fill(NaN);
  return {
    tags,
    sourceMs: none(),
    serverMs: none(),
    arrivalMs: none(),
    value: none(),
    quality: new Uint8Array(tags.length),
    firstSourceMs: none(),
    firstValue: none(),
    firstQuality: new Uint8Array(tags.length),
    count: new Uint32Array(tags.length),
    notifiedMs: none(),
    contradictions: new Uint8Array(tags.length),
    isRefused: new Uint8Array(tags.length),
  };
}

/** Forgets what holds for one connection only. */
export function beginConnection(table: TagTable): void {
  table.firstSourceMs.fill(NaN);
  table.notifiedMs.fill(NaN);
  table.contradictions.fill(0);
  table.isRefused.fill(0);
}

/**
 * Whether this says nothing new: a value read to prove it also comes by the subscription, and a new connection
 * begins with the value that was known before the break, under the old time or, if it was proven since, an earlier.
 */
export function isRepeated(table: TagTable, index: number, reading: Reading): boolean {
  const aheadMs = reading.sourceTimeMs - (table.sourceMs[index] ?? NaN);
  const isKnownTime = aheadMs === 0 || (aheadMs < 0 && Number.isNaN(table.firstSourceMs[index]));
  return isKnownTime && isSameState(table, index, reading);
}

/** Whether the tag still stands where it stood, whenever that was. */
export function isSameState(table: TagTable, index: number, reading: Reading): boolean {
  return (
    Object.is(table.value[index], reading.value ?? NaN) &&
    QUALITIES[table.quality[index] ?? 0] === reading.quality
  );
}

export function remember(table: TagTable, index: number, reading: Reading): void {
  table.sourceMs[index] = reading.sourceTimeMs;
  table.arrivalMs[index] = reading.arrivalMs;
  table.value[index] = reading.value ?? NaN;
  table.quality[index] = QUALITIES.indexOf(reading.quality);
  table.count[index] = (table.count[index] ?? 0) + 1;
  if (Number.isNaN(table.firstSourceMs[index])) rememberFirst(table, index);
}

/** What was last remembered is also the first that this connection has told. */
export function rememberFirst(table: TagTable, index: number): void {
  table.firstSourceMs[index] = table.sourceMs[index] ?? NaN;
  table.firstValue[index] = table.value[index] ?? NaN;
  table.firstQuality[index] = table.quality[index] ?? 0;
}
