import { Type, type Static } from 'typebox';
import { FindingSchema } from './machine-health.ts';
import { nullable } from './nullable.ts';
import { ActorSchema } from './records.ts';

/** Stands on every record: corrections are new entries, so this is never overwritten. */
const Written = { id: Type.Integer(), writtenBy: ActorSchema, writtenMs: Type.Number() };

const LearntInfluenceSchema = Type.Object({
  name: Type.String(),
  middle: Type.Number(),
  spread: Type.Number(),
  low: Type.Number(),
  high: Type.Number(),
});

/** One setting of the machine, usually a crop: the signal at the middle of its influences and its change with each. */
const GroupBaselineSchema = Type.Object({
  group: Type.String(),
  coefficients: Type.Array(Type.Number()),
  influences: Type.Array(LearntInfluenceSchema),
  /** Spread of one point, in the signal's unit. */
  deviation: Type.Number(),
  points: Type.Integer(),
});

export const SignalBaselineSchema = Type.Object(
  {
    signal: Type.String(),
    groups: Type.Array(GroupBaselineSchema),
    /** Spread of two hours of running, counted like the residual, and how much they lean on each other. */
    blockDeviation: Type.Number(),
    widening: Type.Number(),
    /** How much of what all machines have in common this one shows. */
    shared: Type.Number(),
    /** What the signal usually is, in its unit. */
    usual: Type.Number(),
  },
  { $id: 'SignalBaseline' },
);
export type SignalBaseline = Static<typeof SignalBaselineSchema>;

/** What was normal for a machine in a period that a person marked as healthy. A new one is a new version. */
export const BaselineDetailsSchema = Type.Object(
  {
    line: Type.String(),
    machine: Type.String(),
    /** When it was learnt; it counts from here on. */
    timeMs: Type.Number(),
    /** The healthy period. */
    fromMs: Type.Number(),
    toMs: Type.Number(),
    reason: Type.String({ minLength: 1, maxLength: 500 }),
    signals: Type.Array(SignalBaselineSchema),
  },
  { $id: 'BaselineDetails' },
);
export type BaselineDetails = Static<typeof BaselineDetailsSchema>;

/** Its id is the version. */
export const MachineBaselineSchema = Type.Object(
  { ...Written, ...BaselineDetailsSchema.properties },
  { $id: 'MachineBaseline' },
);
export type MachineBaseline = Static<typeof MachineBaselineSchema>;

export const FindingEntryDetailsSchema = Type.Object(
  {
    line: Type.String(),
    machine: Type.String(),
    timeMs: Type.Number(),
    what: Type.Enum(['opened', 'changed', 'closed']),
    finding: nullable(FindingSchema),
  },
  { $id: 'FindingEntryDetails' },
);
export type FindingEntryDetails = Static<typeof FindingEntryDetailsSchema>;

export const FindingEntrySchema = Type.Object(
  { ...Written, ...FindingEntryDetailsSchema.properties },
  { $id: 'FindingEntry' },
);
export type FindingEntry = Static<typeof FindingEntrySchema>;
