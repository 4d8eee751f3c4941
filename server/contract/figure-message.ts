import { Type, type Static } from 'typebox';
import { UNKNOWN_REASONS } from '../calc/unknown-reason.ts';
import { QualitySchema } from './reading.ts';
import { UnitCodeSchema } from './unit-code.ts';
import { nullable } from './nullable.ts';

export const UnknownReasonSchema = Type.Enum([...UNKNOWN_REASONS]);

/** What a figure answers. A reject ratio is over the machine's own feed; a reject share is over the line's feed. */
export const FIGURE_KINDS = [
  'feed-rate',
  'clean-rate',
  'treated-rate',
  'reject-rate',
  'yield',
  'reject-ratio',
  'reject-share',
  'dose',
  'product-dose',
  'closure',
  'lot-mass',
  'moisture',
  'good-seed-lost',
  'feed-mass',
  'clean-mass',
  'treated-mass',
  'reject-mass',
  /** Feed less clean seed: every reject and loss of the line together, told apart by nobody. */
  'rejects-by-difference',
  'dry-matter-yield',
  'water-removed',
  'good-seed-lost-worth',
  /** How much the dose differed among the tenths of an hour of the lot. */
  'dose-variation',
  'liquid-used',
  'time-to-empty',
  /** What the balances and all scales together say that a stream carries; the measured rate stands beside it. */
  'reconciled-rate',
  /** By how much of its reading an instrument is wrong, while the balance names it. */
  'instrument-error',
  /** Conditions: 1 while they hold, 0 while they do not. */
  'off-route',
  'liquid-without-seed',
  'seed-without-liquid',
] as const;
export type FigureKind = (typeof FIGURE_KINDS)[number];

/** The time a figure speaks of. Ratios over a window are quotients of totals. */
export const FIGURE_WINDOWS = ['now', 'ten-minutes', 'lot', 'shift'] as const;
export type FigureWindow = (typeof FIGURE_WINDOWS)[number];

/** What stays the same about a figure while the configuration stays the same. */
export const FigureDescriptionSchema = Type.Object(
  {
    id: Type.String({ description: '<line>.<machine or "line">.<figure>' }),
    line: Type.String(),
    machine: nullable(Type.String()),
    stream: nullable(Type.String()),
    /** Which treatment product, for the kind product-dose. */
    product: nullable(Type.String()),
    kind: Type.Enum([...FIGURE_KINDS]),
    window: Type.Enum([...FIGURE_WINDOWS]),
    unit: UnitCodeSchema,
    resolution: Type.Number({ description: 'Step to which the stored value is rounded, in its unit' }),
    sources: Type.Array(Type.String(), { description: 'Tags and figures that it is computed from' }),
  },
  { $id: 'FigureDescription' },
);
export type FigureDescription = Static<typeof FigureDescriptionSchema>;

/** Where a figure should lie for this lot; each side may be open. */
export const BandSchema = Type.Object(
  { low: nullable(Type.Number()), high: nullable(Type.Number()), target: nullable(Type.Number()) },
  { $id: 'Band' },
);
export type Band = Static<typeof BandSchema>;

/** One figure at one instant: a value, or the reason why there is none. Exactly one of `value` and `because` is null. */
export const FigureMessageSchema = Type.Object(
  {
    id: Type.String(),
    timeMs: Type.Number(),
    value: nullable(Type.Number()),
    because: nullable(UnknownReasonSchema),
    quality: QualitySchema,
    /**
     * Half-width of the 95 % interval, in the figure's unit, from the stated errors of its instruments; null where an
     * instrument's error is not stated.
     */
    uncertainty: nullable(Type.Number()),
    /** Share of the window that readings covered, 0 to 1: of the input that was covered least. Null when unknown. */
    coveredRatio: nullable(Type.Number()),
    band: nullable(BandSchema),
  },
  { $id: 'FigureMessage' },
);
export type FigureMessage = Static<typeof FigureMessageSchema>;
