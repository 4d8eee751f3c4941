import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';
import { QuantitySchema } from './unit-code.ts';

/** Who did something. Until people sign in, the id is the name that the person typed. */
const ROLES = ['viewer', 'operator', 'maintenance', 'manager', 'engineer'] as const;
export const ActorSchema = Type.Object(
  { id: Type.String({ minLength: 1, maxLength: 80 }), role: Type.Enum([...ROLES]) },
  { $id: 'Actor' },
);
export type Actor = Static<typeof ActorSchema>;

/** Stands on every record: corrections are new entries, so this is never overwritten. */
const Written = { id: Type.Integer(), writtenBy: ActorSchema, writtenMs: Type.Number() };

/** A treatment product in a lot's plan. Label limits hold for the product, never for the slurry as a whole. */
const PlannedProductSchema = Type.Object(
  {
    name: Type.String({ minLength: 1 }),
    doseMlPerBu: Type.Number({ exclusiveMinimum: 0 }),
    labelMlPerBuMin: nullable(Type.Number({ minimum: 0 })),
    labelMlPerBuMax: nullable(Type.Number({ minimum: 0 })),
  },
  { $id: 'PlannedProduct' },
);

/** What a person says about a lot when starting it. */
export const LotDetailsSchema = Type.Object(
  {
    line: Type.String(),
    number: Type.String({ minLength: 1, maxLength: 40, description: 'For example QM-0417' }),
    crop: Type.String(),
    massKgPlanned: nullable(Type.Number({ exclusiveMinimum: 0 })),
    testWeightKgPerHl: nullable(Type.Number({ exclusiveMinimum: 0 })),
    route: Type.String({ minLength: 1 }),
    treatmentPlan: Type.String(),
    products: Type.Array(PlannedProductSchema),
  },
  { $id: 'LotDetails' },
);
export type LotDetails = Static<typeof LotDetailsSchema>;

export const LotSchema = Type.Object(
  { ...Written, ...LotDetailsSchema.properties, startedMs: Type.Number(), endedMs: nullable(Type.Number()) },
  { $id: 'Lot' },
);
export type Lot = Static<typeof LotSchema>;

export const ShiftSchema = Type.Object(
  {
    ...Written,
    line: Type.String(),
    name: Type.String(),
    startedMs: Type.Number(),
    endedMs: nullable(Type.Number()),
  },
  { $id: 'Shift' },
);
export type Shift = Static<typeof ShiftSchema>;

/** Something noted on the time axis: a setting change, a lot change, a note. */
const MARK_KINDS = ['setting', 'lot', 'note', 'repair'] as const;
export const MarkDetailsSchema = Type.Object(
  {
    line: Type.String(),
    machine: nullable(Type.String()),
    kind: Type.Enum([...MARK_KINDS]),
    timeMs: Type.Number(),
    text: Type.String({ minLength: 1, maxLength: 500 }),
  },
  { $id: 'MarkDetails' },
);
export type MarkDetails = Static<typeof MarkDetailsSchema>;
export const MarkSchema = Type.Object({ ...Written, ...MarkDetailsSchema.properties }, { $id: 'Mark' });
export type Mark = Static<typeof MarkSchema>;

/** Seed taken by hand at a stream and analysed; results may come later as further entries. */
export const HandSampleDetailsSchema = Type.Object(
  {
    line: Type.String(),
    stream: Type.String(),
    lot: nullable(Type.String()),
    takenMs: Type.Number(),
    results: Type.Record(Type.String(), QuantitySchema),
    note: Type.String({ maxLength: 500 }),
  },
  { $id: 'HandSampleDetails' },
);
export type HandSampleDetails = Static<typeof HandSampleDetailsSchema>;
export const HandSampleSchema = Type.Object(
  { ...Written, ...HandSampleDetailsSchema.properties },
  { $id: 'HandSample' },
);
export type HandSample = Static<typeof HandSampleSchema>;
