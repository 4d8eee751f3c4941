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
    /** Seed in it, kg: a bin's or a hopper's level; absent where nothing gathers in it. */
    contentsTag: Type.Optional(nullable(Type.String())),
    /** Further tags of this machine, for its detail panel. */
    tags: Type.Array(Type.String()),
  },
  { $id: 'Machine' },
);
export type Machine = Static<typeof MachineSchema>;

/** A product as it comes out of a tank. */
const LiquidProductSchema = Type.Object({
  name: Type.String(),
  densityGPerMl: Type.Number({ exclusiveMinimum: 0 }),
  /** Share of its mass that does not evaporate; absent where nobody has said. */
  solidsRatio: Type.Optional(Type.Number({ minimum: 0, maximum: 1 })),
});

/** What a liquid stream carries. Several products: mixed beforehand, and each dosed by its share of the recipe. */
export const LiquidSchema = Type.Object(
  {
    products: Type.Array(LiquidProductSchema, { minItems: 1 }),
    /** Mass left in its tank or on its platform scale; null where nobody weighs it. */
    tankMassTag: nullable(Type.String()),
    /** What stays below the outlet. */
    unusableKg: Type.Number({ minimum: 0 }),
    /** A catch test is good for this long. */
    calibrationMsMax: Type.Number({ minimum: 0 }),
  },
  { $id: 'Liquid' },
);
export type Liquid = Static<typeof LiquidSchema>;

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
    /** A totaliser of the same scale; totals of a lot or shift prefer it. */
    massTotalTag: nullable(Type.String()),
    /** Liquid streams only: the product pump's flow in mL/min. */
    volumeFlowTag: nullable(Type.String()),
    /** Time that seed takes along this stream, from the plant's drawings or a dye test. */
    transportMs: Type.Number(),
    /** By how much `transportMs` may be wrong either way; absent where nobody has said. */
    transportErrorMs: Type.Optional(Type.Number({ minimum: 0 })),
    /** By how much seed spreads on this stretch, in boots, beds and hoppers: a standard deviation; absent where none is known. */
    mixingMs: Type.Optional(Type.Number({ minimum: 0 })),
    /** Main streams only: moisture of the seed, wet basis. */
    moistureTag: Type.Optional(nullable(Type.String())),
    /** Liquid streams only; absent where nothing but a pump's flow is known. */
    liquid: Type.Optional(LiquidSchema),
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
