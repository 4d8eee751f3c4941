import { Type, type Static } from 'typebox';
import { BandSchema } from './figure-message.ts';

/** How the figures of one line are computed and judged; from `config/plant.yaml`. */
export const LineSettingsSchema = Type.Object(
  {
    line: Type.String(),
    /** Crop that is assumed while no lot is running. */
    defaultCrop: Type.String(),
    /** Below this feed the line counts as stopped and its quotients are noise. */
    feedKgPerHFloor: Type.Number({ exclusiveMinimum: 0 }),
    /** Length of the window called "now"; it calms scale noise and is short enough to see a stop. */
    nowWindowMs: Type.Number({ minimum: 1000, maximum: 60_000 }),
    /** A hole between two readings up to this length is bridged and makes the figure uncertain; a longer one is uncovered. */
    bridgedGapMsMax: Type.Number({ minimum: 0, maximum: 120_000 }),
    /** Below this covered share of its window a figure is unknown. */
    coveredRatioMin: Type.Number({ minimum: 0, maximum: 1 }),
    /** By figure id. A lot's own bands, where it has them, come before these. */
    bands: Type.Record(Type.String(), BandSchema),
    /** Dust and the like that no scale sees, as a share of the feed, and how far that may be wrong; absent: none. */
    losses: Type.Optional(
      Type.Object({
        ratio: Type.Number({ minimum: 0, maximum: 0.1 }),
        errorRatio: Type.Number({ minimum: 0, maximum: 0.1 }),
      }),
    ),
    /** Which machines seed passes by on each route that a lot may take; absent where the line has one way only. */
    routes: Type.Optional(
      Type.Array(Type.Object({ name: Type.String(), bypassed: Type.Array(Type.String()) })),
    ),
  },
  { $id: 'LineSettings' },
);
export type LineSettings = Static<typeof LineSettingsSchema>;
