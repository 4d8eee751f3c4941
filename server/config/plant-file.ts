import { Type, type Static } from 'typebox';
import { BandSchema } from '../contract/figure-message.ts';
import { MACHINE_KINDS, STREAM_ROLES } from '../contract/line-graph.ts';
import { LotDetailsSchema } from '../contract/records.ts';
import { UnitCodeSchema } from '../contract/unit-code.ts';
import { RetentionEntrySchema } from './retention-entry.ts';

/** Unknown keys are refused: a misspelt key that is silently ignored is the worst kind of configuration. */
const closed = { additionalProperties: false };
const Id = Type.String({ pattern: '^[a-z][a-z0-9-]*$', description: 'lower case, digits and hyphens' });
const SeriesName = Type.String({
  pattern: '^[a-z][a-z0-9-]*([.][a-z0-9-]+)*[.]?$',
  description: 'an id, or the beginning of some with its dot',
});
const ClockTime = Type.String({ pattern: '^([01][0-9]|2[0-3]):[0-5][0-9]$', description: 'hh:mm' });
const DurationMs = (minimum: number, maximum: number) => Type.Number({ minimum, maximum });

const Endpoint = Type.Object(
  {
    id: Id,
    url: Type.String({ pattern: '^opc\\.tcp://', description: 'opc.tcp://<host>:<port>' }),
    namespace: Type.String({ minLength: 1, description: 'URI of the namespace that its nodes live in' }),
    publishingIntervalMs: DurationMs(20, 60_000),
    samplingIntervalMs: DurationMs(0, 60_000),
    backfillMsMax: DurationMs(0, 7 * 24 * 3_600_000),
  },
  closed,
);

/** What an instrument's certificate or maker states; a part that is left out is nothing. In the tag's own unit. */
const StatedError = Type.Object(
  {
    toleranceRatio: Type.Optional(Type.Number({ minimum: 0, maximum: 1 })),
    tolerance: Type.Optional(Type.Number({ minimum: 0 })),
    scatterRatio: Type.Optional(Type.Number({ minimum: 0, maximum: 1 })),
    scatter: Type.Optional(Type.Number({ minimum: 0 })),
  },
  closed,
);

/** One measured point. `node` is what the plant calls it; in a group it is put behind the machine's `nodes` and a dot. */
const Tag = Type.Object(
  {
    signal: Id,
    node: Type.String({ minLength: 1 }),
    name: Type.Optional(Type.String()),
    unit: UnitCodeSchema,
    interpolation: Type.Optional(Type.Enum(['step', 'linear'])),
    range: Type.Optional(Type.Tuple([Type.Number(), Type.Number()])),
    resolution: Type.Optional(Type.Number({ minimum: 0 })),
    factor: Type.Optional(Type.Number()),
    error: Type.Optional(StatedError),
    staleAfterMs: Type.Optional(DurationMs(1000, 24 * 3_600_000)),
  },
  closed,
);
export type TagEntry = Static<typeof Tag>;

const MachineEntry = Type.Object(
  {
    id: Id,
    name: Type.String({ minLength: 1 }),
    kind: Type.Enum([...MACHINE_KINDS]),
    /** What the plant calls this machine; groups put it before their nodes. */
    nodes: Type.Optional(Type.String()),
    groups: Type.Optional(Type.Array(Type.String())),
    tags: Type.Optional(Type.Array(Tag)),
    running: Type.Optional(Type.String()),
    bypassed: Type.Optional(Type.String()),
    motorCurrent: Type.Optional(Type.String()),
    contents: Type.Optional(Type.String()),
  },
  closed,
);
export type MachineEntry = Static<typeof MachineEntry>;

const LiquidEntry = Type.Object(
  {
    products: Type.Array(
      Type.Object(
        {
          name: Type.String({ minLength: 1 }),
          densityGPerMl: Type.Number({ minimum: 0.7, maximum: 1.6 }),
          solidsRatio: Type.Optional(Type.Number({ minimum: 0, maximum: 1 })),
        },
        closed,
      ),
      { minItems: 1 },
    ),
    tankMass: Type.Optional(Type.String()),
    unusableKg: Type.Optional(Type.Number({ minimum: 0 })),
    calibrationHMax: Type.Optional(Type.Number({ exclusiveMinimum: 0, maximum: 8760 })),
  },
  closed,
);

const StreamEntry = Type.Object(
  {
    id: Id,
    name: Type.String({ minLength: 1 }),
    role: Type.Enum([...STREAM_ROLES]),
    from: Type.Optional(Id),
    to: Type.Optional(Id),
    /** `<machine>.<signal>`; left out where the plant does not measure this stream. */
    massFlow: Type.Optional(Type.String()),
    massTotal: Type.Optional(Type.String()),
    volumeFlow: Type.Optional(Type.String()),
    transportS: Type.Number({ minimum: 0, maximum: 7200 }),
    transportErrorS: Type.Optional(Type.Number({ minimum: 0, maximum: 7200 })),
    mixingS: Type.Optional(Type.Number({ minimum: 0, maximum: 7200 })),
    moisture: Type.Optional(Type.String()),
    liquid: Type.Optional(LiquidEntry),
  },
  closed,
);
export type StreamEntry = Static<typeof StreamEntry>;

const LineEntry = Type.Object(
  {
    id: Id,
    name: Type.String({ minLength: 1 }),
    endpoint: Id,
    defaultCrop: Id,
    feedKgPerHFloor: Type.Number({ exclusiveMinimum: 0 }),
    nowWindowMs: DurationMs(1000, 60_000),
    bridgedGapMsMax: DurationMs(0, 120_000),
    coveredRatioMin: Type.Number({ minimum: 0, maximum: 1 }),
    bands: Type.Record(Type.String(), BandSchema),
    losses: Type.Optional(
      Type.Object(
        {
          ratio: Type.Number({ minimum: 0, maximum: 0.1 }),
          errorRatio: Type.Number({ minimum: 0, maximum: 0.1 }),
        },
        closed,
      ),
    ),
    routes: Type.Optional(
      Type.Array(Type.Object({ name: Type.String({ minLength: 1 }), bypassed: Type.Array(Id) }, closed)),
    ),
    machines: Type.Array(MachineEntry, { minItems: 1 }),
    streams: Type.Array(StreamEntry, { minItems: 1 }),
  },
  closed,
);
export type LineEntry = Static<typeof LineEntry>;

/** The configuration file of a plant as a person writes it. */
export const PlantFileSchema = Type.Object(
  {
    name: Type.String({ minLength: 1 }),
    currency: Type.Optional(Type.String({ pattern: '^[A-Z]{3}$', description: 'ISO 4217, for example USD' })),
    timeZone: Type.String({ description: 'IANA name, for example America/Chicago' }),
    shifts: Type.Array(Type.Object({ name: Type.String({ minLength: 1 }), starts: ClockTime }, closed), {
      minItems: 1,
    }),
    tickMs: DurationMs(50, 5000),
    holdBackMs: DurationMs(0, 10_000),
    alarms: Type.String({ minLength: 1, description: 'file with the alarm rules, beside this one' }),
    machines: Type.Optional(
      Type.String({ minLength: 1, description: 'file with the machines to watch, beside this one' }),
    ),
    retention: Type.Optional(RetentionEntrySchema),
    renamed: Type.Optional(
      Type.Array(Type.Object({ from: SeriesName, to: SeriesName }, closed), {
        description: 'tags and figures that had another id before',
      }),
    ),
    endpoints: Type.Array(Endpoint, { minItems: 1 }),
    crops: Type.Array(
      Type.Object(
        {
          id: Id,
          name: Type.String({ minLength: 1 }),
          bushelMassKg: Type.Number({ exclusiveMinimum: 0, maximum: 60 }),
          source: Type.String({
            minLength: 1,
            description: 'where the bushel weight is from: it differs by jurisdiction',
          }),
          prices: Type.Optional(
            Type.Object(
              {
                seedPerKg: Type.Number({ minimum: 0 }),
                salvagePerKg: Type.Number({ minimum: 0 }),
              },
              closed,
            ),
          ),
        },
        closed,
      ),
      { minItems: 1 },
    ),
    /** Lots to begin with when no lot was ever started; for demonstration and training. */
    firstLots: Type.Optional(Type.Array(LotDetailsSchema)),
    groups: Type.Record(Type.String(), Type.Array(Tag)),
    lines: Type.Array(LineEntry, { minItems: 1 }),
  },
  closed,
);
export type PlantFile = Static<typeof PlantFileSchema>;
