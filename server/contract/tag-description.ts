import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';
import { UnitCodeSchema } from './unit-code.ts';

/**
 * How wrong an instrument may be while it is well, as its certificate or its maker says. The tolerance stays the same
 * from reading to reading; the scatter does not.
 */
export const InstrumentErrorSchema = Type.Object(
  {
    /** 95 % half-width, as a share of the reading. */
    toleranceRatio: Type.Number({ minimum: 0 }),
    /** 95 % half-width, in the tag's unit. */
    tolerance: Type.Number({ minimum: 0 }),
    /** Standard deviation of one reading, as a share of it. */
    scatterRatio: Type.Number({ minimum: 0 }),
    /** Standard deviation of one reading, in the tag's unit. */
    scatter: Type.Number({ minimum: 0 }),
  },
  { $id: 'InstrumentError' },
);
export type InstrumentError = Static<typeof InstrumentErrorSchema>;

/** A tag as the screen needs it: what it measures, in which unit, and how to draw between two readings. */
export const TagDescriptionSchema = Type.Object(
  {
    id: Type.String({ description: '<line>.<machine>.<signal>' }),
    line: Type.String(),
    machine: Type.String(),
    name: Type.String(),
    unit: UnitCodeSchema,
    /** `step`: contacts, states, set values; holds its value. `linear`: analogue. */
    interpolation: Type.Enum(['step', 'linear']),
    rangeLow: nullable(Type.Number()),
    rangeHigh: nullable(Type.Number()),
    resolution: Type.Number(),
    staleAfterMs: Type.Number(),
    /** Absent where nobody has stated it: figures that rest on the tag then have no uncertainty. */
    error: Type.Optional(InstrumentErrorSchema),
  },
  { $id: 'TagDescription' },
);
export type TagDescription = Static<typeof TagDescriptionSchema>;
