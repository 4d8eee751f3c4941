import { Type, type Static } from 'typebox';
import { DIRECTIONS, RESIDUAL_KINDS } from './machine-health.ts';
import { UnitCodeSchema } from './unit-code.ts';

/** Unknown keys are refused: a misspelt key that is silently ignored is the worst kind of configuration. */
const closed = { additionalProperties: false };
const Id = Type.String({ pattern: '^[a-z][a-z0-9-]*$', description: 'lower case, digits and hyphens' });
/** `<machine>.<signal>` of the line. */
const TagName = Type.String({ pattern: '^[^.\\s]+\\.[^.\\s]+$', description: '<machine>.<signal>' });
const Influence = Type.String({
  pattern: '^(load|ambient|mains|heat)(-past)?(-squared)?$',
  description: 'load, ambient, mains or heat, with -past and -squared behind it where wanted',
});

/** Groups and supports of ISO 10816-3; class I of ISO 10816-1 for machines up to 15 kW. */
const VIBRATION_GROUPS = [
  'group-1-rigid',
  'group-1-flexible',
  'group-2-rigid',
  'group-2-flexible',
  'class-I',
] as const;

const LimitsSchema = Type.Object(
  {
    /** Deviation from the baseline, counted like the residual. */
    deviationHigh: Type.Optional(Type.Number({ exclusiveMinimum: 0 })),
    deviationLow: Type.Optional(Type.Number({ exclusiveMaximum: 0 })),
    /** The value itself, whatever the load, in the signal's unit. */
    valueHigh: Type.Optional(Type.Number()),
  },
  closed,
);

/** How one kind of signal is judged, on every machine that has it. */
const SignalSettingsSchema = Type.Object(
  {
    signal: Id,
    unit: UnitCodeSchema,
    residual: Type.Enum([...RESIDUAL_KINDS]),
    explainedBy: Type.Array(Influence, { maxItems: 8 }),
    settleMinutes: Type.Number({ minimum: 0, maximum: 600 }),
    smallest: Type.Number({ exclusiveMinimum: 0 }),
    isShared: Type.Boolean(),
    limits: LimitsSchema,
    source: Type.String({ minLength: 1, description: 'where the numbers are from' }),
  },
  closed,
);
export type SignalSettings = Static<typeof SignalSettingsSchema>;

/** Signals by name, each with the name of the tag that measures it: `motor-current: fan-motor-current`. */
const SignalTags = Type.Record(Type.String(), Type.String({ minLength: 1 }));

const KindSchema = Type.Object({ running: Type.String({ minLength: 1 }), signals: SignalTags }, closed);

const ServiceSchema = Type.Object(
  {
    task: Type.String({ minLength: 1 }),
    everyRunHours: Type.Optional(Type.Number({ exclusiveMinimum: 0 })),
    everyStarts: Type.Optional(Type.Number({ exclusiveMinimum: 0 })),
  },
  closed,
);

/** One motor and what it turns. Signals of its kind that the plant does not measure are left out. */
const MachineEntrySchema = Type.Object(
  {
    id: Id,
    name: Type.String({ minLength: 1 }),
    line: Id,
    machine: Id,
    kind: Id,
    signals: Type.Optional(SignalTags),
    limits: Type.Optional(Type.Record(Type.String(), LimitsSchema)),
    ratedCurrentA: Type.Optional(Type.Number({ exclusiveMinimum: 0 })),
    /** Class of the winding's insulation, from the plate. */
    insulation: Type.Optional(Type.Enum(['A', 'B', 'F', 'H'])),
    /** Left out for what swings by design: there the zones say nothing. */
    vibrationGroup: Type.Optional(Type.Enum([...VIBRATION_GROUPS])),
    service: Type.Optional(Type.Array(ServiceSchema)),
  },
  closed,
);
export type ServiceEntry = Static<typeof ServiceSchema>;
export type MachineEntry = Static<typeof MachineEntrySchema>;

const Pattern = Type.Record(Type.String(), Type.Enum([...DIRECTIONS]));

/** A row of the table from symptoms to causes. */
const CauseSchema = Type.Object(
  {
    cause: Id,
    name: Type.String({ minLength: 1, maxLength: 80 }),
    kinds: Type.Array(Id, { minItems: 1 }),
    /** Moves these first and most. */
    shows: Pattern,
    /** May move these too. */
    supports: Type.Optional(Pattern),
    /** Leaves these as they are. */
    leaves: Type.Optional(Type.Array(Id)),
    why: Type.String({ minLength: 1, maxLength: 400 }),
    check: Type.String({ minLength: 1, maxLength: 400, description: 'what to look at, at the machine' }),
  },
  closed,
);

/** What bears on all machines of a line. */
const InfluencesSchema = Type.Object(
  {
    line: Id,
    load: Type.Optional(TagName),
    ambient: Type.Optional(TagName),
    mains: Type.Optional(TagName),
  },
  closed,
);

/** The file of machines to watch, as a person writes it. */
export const MachineSettingsSchema = Type.Object(
  {
    influences: Type.Array(InfluencesSchema, { minItems: 1 }),
    signals: Type.Array(SignalSettingsSchema, { minItems: 1 }),
    kinds: Type.Record(Type.String(), KindSchema),
    machines: Type.Array(MachineEntrySchema),
    causes: Type.Array(CauseSchema),
  },
  { ...closed, $id: 'MachineSettings' },
);
export type MachineSettings = Static<typeof MachineSettingsSchema>;
