import { Type, type Static } from 'typebox';
import type { ConfiguredRetention } from './plant-config.ts';

const DAY_MS = 86_400_000;
const BYTES_PER_GB = 1e9;
/** A century: more is a slip of the hand. */
const DAYS_MAX = 36_500;

const closed = { additionalProperties: false };
const Days = Type.Number({ minimum: 1, maximum: DAYS_MAX });

const RetentionClassEntry = Type.Object(
  {
    kind: Type.Optional(Type.Enum(['tag', 'figure'])),
    interpolation: Type.Optional(Type.Enum(['step', 'linear'])),
    startsWith: Type.Optional(Type.String({ minLength: 1 })),
    samplesDays: Type.Optional(Days),
    rollupsDays: Type.Optional(Days),
  },
  closed,
);

/** How long what is kept, as a person writes it. What is left out has no limit. */
export const RetentionEntrySchema = Type.Object(
  {
    historyGbMax: Type.Optional(Type.Number({ minimum: 0.1, maximum: 100_000 })),
    classes: Type.Array(RetentionClassEntry),
  },
  closed,
);
type RetentionEntry = Static<typeof RetentionEntrySchema>;

export function configuredRetention(entry: RetentionEntry = { classes: [] }): ConfiguredRetention {
  return {
    mostBytes: entry.historyGbMax === undefined ? null : entry.historyGbMax * BYTES_PER_GB,
    classes: entry.classes.map(({ startsWith, samplesDays, rollupsDays, ...fits }) => ({
      ...fits,
      ...(startsWith === undefined ? {} : { nameStartsWith: startsWith }),
      keepRawMs: samplesDays === undefined ? null : samplesDays * DAY_MS,
      keepRollupsMs: rollupsDays === undefined ? null : rollupsDays * DAY_MS,
    })),
  };
}
