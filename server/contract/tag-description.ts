import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';
import { UnitCodeSchema } from './unit-code.ts';

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
  },
  { $id: 'TagDescription' },
);
export type TagDescription = Static<typeof TagDescriptionSchema>;
