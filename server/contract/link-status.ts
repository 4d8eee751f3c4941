import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';

const LINK_STATES = ['connecting', 'live', 'lost'] as const;

/** How the link to one endpoint of the plant stands. */
export const LinkStatusSchema = Type.Object(
  {
    endpoint: Type.String(),
    url: Type.String(),
    state: Type.Enum([...LINK_STATES]),
    sinceMs: Type.Number(),
    /** Arrival of the last message of any kind; null before the first. */
    lastHeardMs: nullable(Type.Number()),
    /** Plant clock less our clock; null until measured. */
    clockOffsetMs: nullable(Type.Number()),
    /** Why it is not live, as a fault code with its sentence; null while live. */
    because: nullable(Type.String()),
  },
  { $id: 'LinkStatus' },
);
export type LinkStatus = Static<typeof LinkStatusSchema>;

/** Whether readings are being kept. The live view goes on when they are not. */
export const RecordingStatusSchema = Type.Object(
  {
    isRecording: Type.Boolean(),
    sinceMs: Type.Number(),
    /** Samples that wait in memory to be written, and those given up since the trouble began. */
    waitingCount: Type.Number(),
    lostCount: Type.Number(),
    because: nullable(Type.String()),
  },
  { $id: 'RecordingStatus' },
);
export type RecordingStatus = Static<typeof RecordingStatusSchema>;
