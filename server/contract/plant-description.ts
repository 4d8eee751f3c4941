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
    tickMs: Type.Number(),
    crops: Type.Array(CropSchema),
    lines: Type.Array(LineGraphSchema),
    tags: Type.Array(TagDescriptionSchema),
    figures: Type.Array(FigureDescriptionSchema),
  },
  { $id: 'PlantDescription' },
);
export type PlantDescription = Static<typeof PlantDescriptionSchema>;
