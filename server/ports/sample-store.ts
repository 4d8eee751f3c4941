import type { UnitCode } from '../contract/unit-code.ts';

/** Given out once for each name and never reused. */
export type SeriesId = number;

export interface SeriesDefinition {
  /** Tag id or figure id; unique in the store at any one time. */
  readonly name: string;
  readonly kind: 'tag' | 'figure';
  readonly unit: UnitCode;
  readonly interpolation: 'step' | 'linear';
  /** Step to which values are rounded when stored, in the unit; 0 keeps every digit. */
  readonly resolution: number;
  /** After a reading older than this the series counts as unknown; null for figures written when they change. */
  readonly heldMs: number | null;
}

/** Columns of equal length. `value` is NaN where there is no value: nowhere else in the house is NaN allowed. */
export interface SampleColumns {
  readonly series: Uint32Array;
  readonly timeMs: Float64Array;
  readonly value: Float64Array;
  /** `STORED_STATUS` and `STORED_REASON` of the contract. */
  readonly status: Uint8Array;
  readonly reason: Uint8Array;
}

/** A batch is known by its writer and sequence: sent again, it changes nothing. */
export interface SampleBatch extends SampleColumns {
  readonly writer: string;
  readonly sequence: number;
}

export interface RangeRequest {
  readonly series: readonly SeriesId[];
  readonly fromMs: number;
  /** Exclusive. */
  readonly toMs: number;
}

export interface ThinnedRequest extends RangeRequest {
  /** Most buckets wanted for each series, 1 to 20,000. */
  readonly buckets: number;
}

/** Samples of one series in ascending time; a long answer comes in several of these. */
export interface RawColumns {
  readonly series: SeriesId;
  readonly timeMs: Float64Array;
  readonly value: Float64Array;
  readonly status: Uint8Array;
  readonly reason: Uint8Array;
}

/**
 * Buckets of one series. `timeMs[i]` is where bucket i starts; it ends where the next starts, the last at
 * `endMs`. Edges snap to those of the rollup used, and are returned as they are. NaN in an empty bucket.
 */
export interface ThinnedColumns {
  readonly series: SeriesId;
  readonly endMs: number;
  readonly timeMs: Float64Array;
  readonly first: Float64Array;
  readonly last: Float64Array;
  readonly min: Float64Array;
  readonly max: Float64Array;
  /** Time-weighted over the covered part of the bucket: trapezoid for linear, hold for step. */
  readonly mean: Float64Array;
  readonly count: Uint32Array;
  /** Share of the bucket in which the value was known, 0 to 1. */
  readonly coveredRatio: Float64Array;
  /** Share of the bucket in which the value was known, but only uncertain; part of `coveredRatio`. */
  readonly uncertainRatio: Float64Array;
}

export interface SampleAt {
  readonly series: SeriesId;
  readonly timeMs: number;
  readonly value: number;
  readonly status: number;
  readonly reason: number;
}

/** Integral over time and time in state, with the covered time said. */
export interface WindowTotals {
  readonly series: SeriesId;
  /** Integral of the value over time, in unit x hours; NaN when nothing was covered. */
  readonly integralUnitH: number;
  readonly coveredMs: number;
  /** For step series: value and the milliseconds spent in it, in ascending value. */
  readonly timeInState: readonly { readonly value: number; readonly spentMs: number }[];
}

export interface StoredSeries extends SeriesDefinition {
  readonly series: SeriesId;
  readonly validFromMs: number;
  /** Null for the definition in force. */
  readonly validToMs: number | null;
}

/**
 * The memory of every reading and figure. Answers are columns and come piece by piece; a caller that loses
 * interest aborts. Nothing here blocks the caller's event loop.
 */
export interface SampleStore {
  /**
   * Makes series known, and gives each its id. A name known already keeps its id; a changed unit, resolution or
   * interpolation opens a new validity interval from `fromMs` and leaves the past as it was.
   */
  register(definitions: readonly SeriesDefinition[], fromMs: number): Promise<ReadonlyMap<string, SeriesId>>;
  /** Gives a series another name from now on; its past comes along. */
  rename(from: string, to: string): Promise<void>;
  /** Every definition, past ones too. */
  catalogue(): Promise<readonly StoredSeries[]>;
  /**
   * Resolves when the batch is durable. Idempotent by (writer, sequence). Samples may be late, out of order
   * within their series or repeated (same series and time: the newest batch wins). Rejects with the fault
   * `HISTORY_UNWRITABLE` when the disk does not take it; the same batch may be sent again: its columns stay the
   * caller's and are not changed.
   */
  append(batch: SampleBatch): Promise<void>;
  /** The highest sequence of a writer that is durable, or -1. */
  lastSequence(writer: string): Promise<number>;
  /** Every sample with `fromMs <= time < toMs`. Rejects with the signal's reason when aborted. */
  raw(request: RangeRequest, signal: AbortSignal): AsyncIterable<RawColumns>;
  thinned(request: ThinnedRequest, signal: AbortSignal): AsyncIterable<ThinnedColumns>;
  /** The newest sample at or before `timeMs` of each series that has one. */
  valuesAt(series: readonly SeriesId[], timeMs: number): Promise<readonly SampleAt[]>;
  totals(request: RangeRequest, signal: AbortSignal): Promise<readonly WindowTotals[]>;
  close(): Promise<void>;
}
