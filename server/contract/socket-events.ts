import { Type, type Static } from 'typebox';
import { FloodStatusSchema, type FloodStatus } from './alarm-measures.ts';
import { AlarmMessageSchema, type AlarmMessage } from './alarm-message.ts';
import { FigureMessageSchema, type FigureMessage } from './figure-message.ts';
import {
  LinkStatusSchema,
  RecordingStatusSchema,
  type LinkStatus,
  type RecordingStatus,
} from './link-status.ts';
import { LotSchema, ShiftSchema, type Lot, type Shift } from './records.ts';
import { ReadingColumnsSchema, type ReadingColumns } from './reading.ts';

/** What a client wants to be told. Links, recording, floods, lots and shifts are always told; they are few. */
export const WatchRequestSchema = Type.Object(
  {
    figures: Type.Array(Type.String(), { maxItems: 5000, description: 'Figure ids' }),
    tags: Type.Array(Type.String(), { maxItems: 5000, description: 'Tag ids' }),
    alarms: Type.Boolean(),
  },
  { $id: 'WatchRequest' },
);
export type WatchRequest = Static<typeof WatchRequestSchema>;

/** How everything watched stands now. Sent after each `watch` and after a slow client has caught up. */
export const SnapshotSchema = Type.Object(
  {
    contractVersion: Type.Integer(),
    timeMs: Type.Number(),
    figures: Type.Array(FigureMessageSchema),
    readings: Type.Array(ReadingColumnsSchema),
    alarms: Type.Array(AlarmMessageSchema),
    links: Type.Array(LinkStatusSchema),
    recording: RecordingStatusSchema,
    /** Of all lines together; told whether or not alarms are watched. */
    flood: FloodStatusSchema,
    lots: Type.Array(LotSchema),
    shifts: Type.Array(ShiftSchema),
  },
  { $id: 'Snapshot' },
);
export type Snapshot = Static<typeof SnapshotSchema>;

/**
 * What changed since the last message to this client. Figures and alarms are coalesced to their newest state.
 * Readings are complete; a message with `hasMissed` says that those since the message before it were given up
 * and are to be fetched from history, and a snapshot follows it.
 */
export interface LiveChanges {
  readonly timeMs: number;
  readonly figures: readonly FigureMessage[];
  readonly readings: readonly ReadingColumns[];
  readonly alarms: readonly AlarmMessage[];
  readonly links: readonly LinkStatus[];
  readonly recording: RecordingStatus | null;
  /** Null where it did not change. */
  readonly flood: FloodStatus | null;
  readonly lots: readonly Lot[] | null;
  readonly shifts: readonly Shift[] | null;
  readonly hasMissed: boolean;
}

/** `refused` carries a fault code with its sentence, for a request that does not fit its schema. */
export interface WatchAnswer {
  readonly refused: string | null;
}

/** The socket, both directions; documented as a numbered protocol in `socket-protocol.md`. */
export interface ClientToServerEvents {
  watch: (request: WatchRequest, answer: (result: WatchAnswer) => void) => void;
}
export interface ServerToClientEvents {
  snapshot: (snapshot: Snapshot) => void;
  changes: (changes: LiveChanges) => void;
}
