import { Type, type Static } from 'typebox';
import { ALARM_STATES, AlarmTransitionSchema, PRIORITIES } from './alarm-message.ts';
import { nullable } from './nullable.ts';

/** Most entries of one page, and of one export; whoever wants more asks for the time after it. */
export const JOURNAL_PAGE_MAX = 1000;
export const JOURNAL_EXPORT_MAX = 200_000;

/** A line of the journal with its number: given out once, rising. */
export const JournalEntrySchema = Type.Object(
  { id: Type.Integer(), ...AlarmTransitionSchema.properties },
  { $id: 'JournalEntry' },
);
export type JournalEntry = Static<typeof JournalEntrySchema>;

/** What to look for; all that is given must fit. Left out: whatever it is. */
export const JournalFilterProperties = {
  line: Type.Optional(Type.String()),
  machine: Type.Optional(Type.String()),
  alarm: Type.Optional(Type.String()),
  priority: Type.Optional(Type.Enum([...PRIORITIES])),
  /** The state that the entry leads to. */
  to: Type.Optional(Type.Enum([...ALARM_STATES])),
  by: Type.Optional(Type.String({ description: 'The person; an empty text: the plant' })),
  /** In any of alarm, machine, subject, code, states, person and reason, whatever its case. */
  text: Type.Optional(Type.String({ maxLength: 200 })),
};
export type JournalFilter = Static<ReturnType<typeof Type.Object<typeof JournalFilterProperties>>>;

export const JournalPageSchema = Type.Object(
  {
    /** Newest first. */
    entries: Type.Array(JournalEntrySchema),
    /** Give it as `after` for the next page; null when this was the last. */
    next: nullable(Type.String()),
  },
  { $id: 'JournalPage' },
);
export type JournalPage = Static<typeof JournalPageSchema>;
