import { Type, type Static } from 'typebox';

/** Worst last. The first three are the top two bits of the OPC UA status (Part 4, 7.39); stale is ours: older than its tag's allowed age. */
export const QUALITIES = ['good', 'uncertain', 'stale', 'bad'] as const;
export type Quality = (typeof QUALITIES)[number];
export const QualitySchema = Type.Enum([...QUALITIES]);

/**
 * One value of one tag as the plant gave it. Contacts and states are numbers too (0 and 1), of unit "state".
 * `value` is null when the plant sent none, or sent one that is not a finite number.
 */
export interface Reading {
  readonly tag: string;
  /** When the plant measured it, in ms since 1970, by the plant's clock. */
  readonly sourceTimeMs: number;
  /** When it reached us, by our clock; for live use only, never stored as the time of the value. */
  readonly arrivalMs: number;
  readonly value: number | null;
  readonly quality: Quality;
}

/** The readings of one tag in a live message: columns in ascending source time, null where the plant had no value. */
export const ReadingColumnsSchema = Type.Object(
  {
    tag: Type.String(),
    timeMs: Type.Array(Type.Number()),
    value: Type.Array(Type.Union([Type.Number(), Type.Null()])),
    /** Null where all of them are good, which nearly always they are. */
    quality: Type.Union([Type.Array(QualitySchema), Type.Null()]),
  },
  { $id: 'ReadingColumns' },
);
export type ReadingColumns = Static<typeof ReadingColumnsSchema>;
