import { Type, type Static } from 'typebox';
import { FigureDescriptionSchema } from './figure-message.ts';
import { LineGraphSchema } from './line-graph.ts';
import { TagDescriptionSchema } from './tag-description.ts';

export const CropSchema = Type.Object(
  {
    id: Type.String(),
    name: Type.String(),
    /** Legal-weight bushel, a unit of mass; it differs by crop and jurisdiction. */
    bushelMassKg: Type.Number(),
    /** What a kilogram of clean seed brings, and one of reject; absent where losses are not to be shown in money. */
    prices: Type.Optional(
      Type.Object({
        seedPerKg: Type.Number({ minimum: 0 }),
        salvagePerKg: Type.Number({ minimum: 0 }),
      }),
    ),
  },
  { $id: 'Crop' },
);
export type Crop = Static<typeof CropSchema>;

/** All that a screen needs to know once: what there is, not how it is now. */
export const PlantDescriptionSchema = Type.Object(
  {
    contractVersion: Type.Integer(),
    name: Type.String(),
    timeZone: Type.String(),
    /** ISO 4217 code; absent where nothing is shown in money. */
    currency: Type.Optional(Type.String()),
    tickMs: Type.Number(),
    crops: Type.Array(CropSchema),
    lines: Type.Array(LineGraphSchema),
    tags: Type.Array(TagDescriptionSchema),
    figures: Type.Array(FigureDescriptionSchema),
  },
  { $id: 'PlantDescription' },
);
export type PlantDescription = Static<typeof PlantDescriptionSchema>;
