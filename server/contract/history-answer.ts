import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';
import { UnitCodeSchema } from './unit-code.ts';

const UnitFromProperty = {
  unitFromMs: Type.Optional(
    Type.Number({
      description:
        'Only where the series was in another unit before: from when on it is in this one. Earlier values are ' +
        'left out here; the export has them, each in its unit',
    }),
  ),
};

const column = Type.Array(nullable(Type.Number()));

/**
 * One series thinned to buckets, as columns ready for a chart. A bucket without a reading has null values
 * and is drawn as a gap. No spike is thinned away: min and max are of every reading in the bucket.
 */
export const ThinnedSeriesSchema = Type.Object(
  {
    series: Type.String(),
    unit: UnitCodeSchema,
    ...UnitFromProperty,
    interpolation: Type.Enum(['step', 'linear']),
    /** Start of each bucket; the last bucket ends at `toMs`. */
    timeMs: Type.Array(Type.Number()),
    first: column,
    last: column,
    min: column,
    max: column,
    /** Time-weighted. */
    mean: column,
    count: Type.Array(Type.Integer()),
    /** Share of the bucket in which the value was known, 0 to 1. */
    coveredRatio: Type.Array(Type.Number()),
    /** Share of the bucket in which the value was known, but only uncertain; part of `coveredRatio`. */
    uncertainRatio: Type.Array(Type.Number()),
  },
  { $id: 'ThinnedSeries' },
);
export type ThinnedSeries = Static<typeof ThinnedSeriesSchema>;

export const ThinnedAnswerSchema = Type.Object(
  { fromMs: Type.Number(), toMs: Type.Number(), series: Type.Array(ThinnedSeriesSchema) },
  { $id: 'ThinnedAnswer' },
);
export type ThinnedAnswer = Static<typeof ThinnedAnswerSchema>;

/** Every sample of one series; status and reason are the numbers of `stored-status.ts`. */
export const RawSeriesSchema = Type.Object(
  {
    series: Type.String(),
    unit: UnitCodeSchema,
    ...UnitFromProperty,
    interpolation: Type.Enum(['step', 'linear']),
    timeMs: Type.Array(Type.Number()),
    value: column,
    status: Type.Array(Type.Integer()),
    reason: Type.Array(Type.Integer()),
  },
  { $id: 'RawSeries' },
);
export type RawSeries = Static<typeof RawSeriesSchema>;

export const RawAnswerSchema = Type.Object(
  {
    fromMs: Type.Number(),
    toMs: Type.Number(),
    /** True when there were too many samples: `toMs` is then where the answer stops, and where to ask on from. */
    isCut: Type.Boolean(),
    series: Type.Array(RawSeriesSchema),
  },
  { $id: 'RawAnswer' },
);
export type RawAnswer = Static<typeof RawAnswerSchema>;

/** The newest sample at or before one instant of each series that has one. */
export const ValueAtAnswerSchema = Type.Object(
  {
    timeMs: Type.Number(),
    values: Type.Array(
      Type.Object({
        series: Type.String(),
        unit: UnitCodeSchema,
        timeMs: Type.Number(),
        value: nullable(Type.Number()),
        status: Type.Integer(),
        reason: Type.Integer(),
      }),
    ),
  },
  { $id: 'ValueAtAnswer' },
);
export type ValueAtAnswer = Static<typeof ValueAtAnswerSchema>;
