import type { FaultCode, FaultParts } from '../../contract/faults.ts';
import type {
  RangeRequest,
  RawColumns,
  SampleAt,
  SeriesDefinition,
  SeriesId,
  StoredSeries,
  ThinnedColumns,
  ThinnedRequest,
  WindowTotals,
} from '../../ports/sample-store.ts';
import type { StoreReport } from '../engine/reports.ts';

/** Questions that have one answer. */
export interface Calls {
  readonly register: {
    readonly ask: { readonly definitions: readonly SeriesDefinition[]; readonly fromMs: number };
    readonly answer: ReadonlyMap<string, SeriesId>;
  };
  readonly rename: {
    readonly ask: { readonly from: string; readonly to: string };
    readonly answer: undefined;
  };
  readonly catalogue: { readonly ask: null; readonly answer: readonly StoredSeries[] };
  readonly lastSequence: { readonly ask: { readonly writer: string }; readonly answer: number };
  readonly valuesAt: {
    readonly ask: { readonly series: readonly SeriesId[]; readonly timeMs: number };
    readonly answer: readonly SampleAt[];
  };
  readonly settle: { readonly ask: null; readonly answer: undefined };
  readonly close: { readonly ask: null; readonly answer: undefined };
}

/** Questions whose answer comes in pieces. */
export interface Streams {
  readonly raw: { readonly ask: RangeRequest; readonly piece: RawColumns };
  readonly thinned: { readonly ask: ThinnedRequest; readonly piece: ThinnedColumns };
  readonly totals: { readonly ask: RangeRequest; readonly piece: WindowTotals };
}

export type CallMessage = {
  readonly [Name in keyof Calls]: { readonly name: Name; readonly ask: Calls[Name]['ask'] };
}[keyof Calls];

export type StreamMessage = {
  readonly [Name in keyof Streams]: { readonly name: Name; readonly ask: Streams[Name]['ask'] };
}[keyof Streams];

/** To the worker. `id` is the caller's number of the question. */
export type Question =
  | { readonly kind: 'call'; readonly id: number; readonly call: CallMessage }
  | {
      readonly kind: 'append';
      readonly id: number;
      readonly writer: string;
      readonly sequence: number;
      readonly packed: ArrayBuffer;
    }
  | { readonly kind: 'stream'; readonly id: number; readonly stream: StreamMessage }
  /** Ready for one more piece; the worker never runs more than a few pieces ahead of the reader. */
  | { readonly kind: 'more'; readonly id: number }
  | { readonly kind: 'cancel'; readonly id: number };

export interface CrossingFault {
  /** Null for an error that is not one of ours. */
  readonly fault: { readonly code: FaultCode; readonly parts: FaultParts } | null;
  readonly text: string;
}

/** From the worker. */
export type Answer =
  | { readonly kind: 'ready' }
  | { readonly kind: 'refused'; readonly error: CrossingFault }
  | { readonly kind: 'answer'; readonly id: number; readonly value: unknown }
  | { readonly kind: 'failed'; readonly id: number; readonly error: CrossingFault }
  | { readonly kind: 'piece'; readonly id: number; readonly piece: unknown }
  | { readonly kind: 'end'; readonly id: number }
  | { readonly kind: 'report'; readonly report: StoreReport };

/**
 * Pieces that may be under way to a reader at once: with six of them a reader's loop stood still for 24 ms, with one
 * for 17, and it was served as quickly.
 */
export const PIECES_AHEAD = 1;
