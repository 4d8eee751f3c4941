import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';
import { QuantitySchema, UnitCodeSchema } from './unit-code.ts';

const number = nullable(Type.Number());

/** One series over one stretch of time, from means of `stepMs` each; null where too little is known to say. */
const MeasuredSeriesSchema = Type.Object(
  {
    series: Type.String(),
    unit: UnitCodeSchema,
    /** The first and the last known value of the stretch, and the last less the first. */
    first: number,
    last: number,
    difference: number,
    /** Of the least-squares line. */
    slopePerH: number,
    mean: number,
    min: number,
    max: number,
    /** Of the means of one step each, with n - 1. */
    standardDeviation: number,
    /** What flowed, for a flow; over the covered time only. */
    total: nullable(QuantitySchema),
    /** Share of the stretch in which the value was known, 0 to 1. */
    coveredRatio: Type.Number(),
  },
  { $id: 'MeasuredSeries' },
);
export type MeasuredSeries = Static<typeof MeasuredSeriesSchema>;

export const MeasuredAnswerSchema = Type.Object(
  {
    fromMs: Type.Number(),
    toMs: Type.Number(),
    stepMs: Type.Number(),
    series: Type.Array(MeasuredSeriesSchema),
  },
  { $id: 'MeasuredAnswer' },
);
export type MeasuredAnswer = Static<typeof MeasuredAnswerSchema>;

/** One side of an instant. */
const SideSchema = Type.Object(
  {
    mean: Type.Number(),
    standardDeviation: Type.Number(),
    count: Type.Integer(),
    /** How many independent values these are worth: neighbours resemble each other. */
    effectiveCount: Type.Number(),
    coveredRatio: Type.Number(),
  },
  { $id: 'BeforeAfterSide' },
);

const BeforeAfterSeriesSchema = Type.Object(
  {
    series: Type.String(),
    unit: UnitCodeSchema,
    /** Null where too little is known. */
    before: nullable(SideSchema),
    after: nullable(SideSchema),
    /** After less before, with the 95 % interval of it; null where either side cannot carry one. */
    difference: number,
    low: number,
    high: number,
  },
  { $id: 'BeforeAfterSeries' },
);
export type BeforeAfterSeries = Static<typeof BeforeAfterSeriesSchema>;

export const BeforeAfterAnswerSchema = Type.Object(
  {
    atMs: Type.Number(),
    /** The length of each side that was looked at; after is shorter while it is not over yet. */
    beforeMs: Type.Number(),
    afterMs: Type.Number(),
    /** Left out after the instant, while what was changed works its way through. */
    settleMs: Type.Number(),
    stepMs: Type.Number(),
    series: Type.Array(BeforeAfterSeriesSchema),
  },
  { $id: 'BeforeAfterAnswer' },
);
export type BeforeAfterAnswer = Static<typeof BeforeAfterAnswerSchema>;
