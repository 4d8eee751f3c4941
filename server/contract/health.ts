import { Type, type Static } from 'typebox';
import { LinkStatusSchema, RecordingStatusSchema } from './link-status.ts';
import { nullable } from './nullable.ts';

/** How the server itself is, for whoever watches it. A lost link is the plant's trouble, and does not count. */
export const HealthSchema = Type.Object(
  {
    isLive: Type.Boolean({ description: 'False when a restart would help: the pipeline has stopped' }),
    isReady: Type.Boolean({ description: 'True while the pipeline runs and readings are kept' }),
    because: Type.Array(Type.String(), {
      description: 'Why it is not live or not ready; empty when it is both',
    }),
    lastTickMs: nullable(Type.Number()),
    links: Type.Array(LinkStatusSchema),
    recording: nullable(RecordingStatusSchema),
  },
  { $id: 'Health' },
);
export type Health = Static<typeof HealthSchema>;
