import type { Reading } from '../contract/reading.ts';
import { storedStatus } from '../contract/stored-status.ts';
import type { SampleColumns, SeriesId } from '../ports/sample-store.ts';

/** One sample on its way to the store; a null value is stored as none. */
export interface QueuedSample {
  readonly series: SeriesId;
  readonly timeMs: number;
  readonly value: number | null;
  readonly status: number;
  readonly reason: number;
}

interface Columns {
  series: Uint32Array;
  timeMs: Float64Array;
  value: Float64Array;
  status: Uint8Array;
  reason: Uint8Array;
}

const FIRST_CAPACITY = 4096;

/** Samples that wait to be written, as columns, in order of arrival. Bounded: what comes beyond is counted as lost. */
export class SampleQueue {
  readonly #boundCount: number;
  #columns = columnsOf(FIRST_CAPACITY);
  #count = 0;
  #lost = 0;

  constructor(boundCount: number) {
    this.#boundCount = boundCount;
  }

  get count(): number {
    return this.#count;
  }

  /** Samples given up since the queue was made. */
  get lostCount(): number {
    return this.#lost;
  }

  push({ series, timeMs, value, status, reason }: QueuedSample): void {
    const at = this.#place();
    if (at === null) return;
    this.#columns.series[at] = series;
    this.#columns.timeMs[at] = timeMs;
    this.#columns.value[at] = value ?? NaN;
    this.#columns.status[at] = status;
    this.#columns.reason[at] = reason;
  }

  pushReading(series: SeriesId, { sourceTimeMs, value, quality }: Reading, reason: number): void {
    const at = this.#place();
    if (at === null) return;
    this.#columns.series[at] = series;
    this.#columns.timeMs[at] = sourceTimeMs;
    this.#columns.value[at] = value ?? NaN;
    this.#columns.status[at] = storedStatus(quality);
    this.#columns.reason[at] = reason;
  }

  /** Where the next sample goes; null, and one more lost, where there is no room. */
  #place(): number | null {
    if (this.#count >= this.#boundCount) {
      this.#lost += 1;
      return null;
    }
    if (this.#count === this.#columns.series.length) this.#columns = grown(this.#columns);
    this.#count += 1;
    return this.#count - 1;
  }

  /** Everything that waits, at most `countMax` of it; the rest stays. */
  take(countMax: number): SampleColumns {
    const count = Math.min(countMax, this.#count);
    const taken = sliced(this.#columns, 0, count);
    const rest = sliced(this.#columns, count, this.#count);
    this.#columns = { ...columnsOf(Math.max(FIRST_CAPACITY, rest.series.length)) };
    this.#columns.series.set(rest.series);
    this.#columns.timeMs.set(rest.timeMs);
    this.#columns.value.set(rest.value);
    this.#columns.status.set(rest.status);
    this.#columns.reason.set(rest.reason);
    this.#count = rest.series.length;
    return taken;
  }
}

function columnsOf(capacity: number): Columns {
  return {
    series: new Uint32Array(capacity),
    timeMs: new Float64Array(capacity),
    value: new Float64Array(capacity),
    status: new Uint8Array(capacity),
    reason: new Uint8Array(capacity),
  };
}

function grown(columns: Columns): Columns {
  const next = columnsOf(columns.series.length * 2);
  next.series.set(columns.series);
  next.timeMs.set(columns.timeMs);
  next.value.set(columns.value);
  next.status.set(columns.status);
  next.reason.set(columns.reason);
  return next;
}

function sliced(columns: Columns, from: number, to: number): Columns {
  return {
    series: columns.series.slice(from, to),
    timeMs: columns.timeMs.slice(from, to),
    value: columns.value.slice(from, to),
    status: columns.status.slice(from, to),
    reason: columns.reason.slice(from, to),
  };
}
