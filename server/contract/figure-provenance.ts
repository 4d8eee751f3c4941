import { Type, type Static } from 'typebox';
import { FigureDescriptionSchema, FigureMessageSchema, UnknownReasonSchema } from './figure-message.ts';
import { nullable } from './nullable.ts';
import { QualitySchema } from './reading.ts';
import { InstrumentErrorSchema } from './tag-description.ts';
import { UnitCodeSchema } from './unit-code.ts';

/** How a figure is worked out, as a code; the reader's words for it live in `format/`. */
export const FORMULA_CODES = [
  'mean-rate',
  'total',
  'clean-over-feed',
  'treated-less-liquid-over-feed',
  'reject-over-machine-feed',
  'reject-over-line-feed',
  'feed-less-clean',
  'balance-over-feed',
  'pump-flow-over-seed',
  'tank-loss-over-seed',
  'share-of-slurry-dose',
  'tank-loss',
  'pump-volume',
  'variation-of-doses',
  'volume-over-flow',
  'dry-matter-over-dry-matter',
  'mass-and-two-moistures',
  'reject-times-good-share',
  'lost-times-price',
  'least-squares',
  'implied-error',
  'newest-reading',
  'gates-against-route',
  'liquid-against-seed',
] as const;
export type FormulaCode = (typeof FORMULA_CODES)[number];

/** What an input stands for in its formula. */
export const INPUT_ROLES = [
  'feed',
  'clean',
  'treated',
  'reject',
  'seed',
  'liquid',
  'moisture',
  'sample',
  'price',
  'recipe',
  'gate',
  'stream',
] as const;
export type InputRole = (typeof INPUT_ROLES)[number];

/** One thing that a figure was computed from: a tag over a window, a hand sample, or a number of the configuration. */
export const ProvenanceInputSchema = Type.Object(
  {
    role: Type.Enum([...INPUT_ROLES]),
    /** Id of a tag; null for what is no tag. */
    tag: nullable(Type.String()),
    stream: nullable(Type.String()),
    unit: UnitCodeSchema,
    value: nullable(Type.Number()),
    because: nullable(UnknownReasonSchema),
    quality: QualitySchema,
    coveredRatio: nullable(Type.Number()),
    /** The stretch of time it was taken over: shifted by the lag, so that it speaks of the same seed. */
    fromMs: nullable(Type.Number()),
    toMs: nullable(Type.Number()),
    /** When its newest reading was measured, or the sample taken. */
    newestMs: nullable(Type.Number()),
    /** Half-width of its 95 % interval, in its unit. */
    uncertainty: nullable(Type.Number()),
    /** What is stated of its instrument; null where nothing is. */
    error: nullable(InstrumentErrorSchema),
  },
  { $id: 'ProvenanceInput' },
);
export type ProvenanceInput = Static<typeof ProvenanceInputSchema>;

/** Why a figure is what it is. */
export const FigureProvenanceSchema = Type.Object(
  {
    description: FigureDescriptionSchema,
    figure: FigureMessageSchema,
    formula: Type.Enum([...FORMULA_CODES]),
    inputs: Type.Array(ProvenanceInputSchema),
    /** What makes the figure uncertain: half-widths in its unit by instrument or cause, largest first. */
    causes: Type.Array(Type.Object({ cause: Type.String(), uncertainty: Type.Number() })),
  },
  { $id: 'FigureProvenance' },
);
export type FigureProvenance = Static<typeof FigureProvenanceSchema>;
