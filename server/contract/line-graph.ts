import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';

/** What a machine does to the seed. The kind chooses words and symbols, never arithmetic. */
export const MACHINE_KINDS = [
  'intake',
  'scalper',
  'air-screen',
  'aspirator',
  'length-grader',
  'sizer',
  'destoner',
  'gravity-table',
  'spiral',
  'colour-sorter',
  'bin',
  'treater',
  'dryer',
  'bagger',
  'elevator',
  'conveyor',
  /** Serves the line without carrying its seed; stands on no stream. */
  'dust-system',
] as const;
export type MachineKind = (typeof MACHINE_KINDS)[number];

export const MachineSchema = Type.Object(
  {
    id: Type.String(),
    name: Type.String(),
    kind: Type.Enum([...MACHINE_KINDS]),
    /** Tags, or null where the plant does not measure it. */
    runningTag: nullable(Type.String()),
    bypassedTag: nullable(Type.String()),
    motorCurrentTag: nullable(Type.String()),
    /** Further tags of this machine, for its detail panel. */
    tags: Type.Array(Type.String()),
  },
  { $id: 'Machine' },
);
export type Machine = Static<typeof MachineSchema>;

/** `main` carries seed onward, `reject` carries what a machine takes out, `liquid` is treatment. */
export const STREAM_ROLES = ['main', 'reject', 'liquid'] as const;

export const StreamSchema = Type.Object(
  {
    id: Type.String(),
    /** The trade's word for what flows: overs, screenings, liftings, stones, lights, clean, treated. */
    name: Type.String(),
    role: Type.Enum([...STREAM_ROLES]),
    /** A machine's id, or null for the world outside the line. */
    from: nullable(Type.String()),
    to: nullable(Type.String()),
    massFlowTag: nullable(Type.String()),
    massTotalTag: nullable(Type.String()),
    /** Liquid streams only: the product pump's flow in mL/min. */
    volumeFlowTag: nullable(Type.String()),
    /** Time that seed takes along this stream, from the plant's drawings or a dye test. */
    transportMs: Type.Number(),
  },
  { $id: 'Stream' },
);
export type Stream = Static<typeof StreamSchema>;

/** One line of the plant: machines joined by streams of mass. Checked at start, see `server/line/`. */
export const LineGraphSchema = Type.Object(
  {
    id: Type.String(),
    name: Type.String(),
    machines: Type.Array(MachineSchema),
    streams: Type.Array(StreamSchema),
  },
  { $id: 'LineGraph' },
);
export type LineGraph = Static<typeof LineGraphSchema>;
