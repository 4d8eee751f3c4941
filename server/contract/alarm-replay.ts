import { Type, type Static } from 'typebox';
import { AlarmTransitionSchema } from './alarm-message.ts';
import { nullable } from './nullable.ts';

/** The longest time that one replay covers, and the most of each list that it answers with. */
export const REPLAY_MS_MAX = 31 * 86_400_000;
export const REPLAY_LISTED_MAX = 2000;

/**
 * A proposal, as a text in YAML (JSON is YAML too) with the keys of `config/alarms.yaml`, each of which may be left out:
 *
 *     rules:   a rule whose id is in force has its keys laid over that rule; any other is a new rule, told whole
 *     without: ids of rules to leave out
 *     cards:   further response cards, or others in place of those in force
 */
export const ReplayRequestSchema = Type.Object(
  {
    fromMs: Type.Number(),
    toMs: Type.Number(),
    proposal: Type.String({ minLength: 1, maxLength: 60_000 }),
  },
  { $id: 'ReplayRequest' },
);
export type ReplayRequest = Static<typeof ReplayRequestSchema>;

const AlarmCostSchema = Type.Object({
  alarm: Type.String(),
  inForce: Type.Integer(),
  proposed: Type.Integer(),
});

/** One time that the alarm would have asked for somebody. */
const OccurrenceSchema = Type.Object({
  alarm: Type.String(),
  annunciation: AlarmTransitionSchema,
  /** When its condition was gone again; null when it was not before the end. */
  clearedMs: nullable(Type.Number()),
});

const ReplayedSchema = Type.Object({
  annunciations: Type.Integer(),
  /** Alarms whose condition was there already when the time began; they asked before it. */
  stoodBefore: Type.Array(Type.String()),
  /** Most in any ten minutes. */
  tenMinutesMax: Type.Integer(),
  /** In ascending time, at most REPLAY_LISTED_MAX. */
  occurrences: Type.Array(OccurrenceSchema),
  isCut: Type.Boolean(),
});

/**
 * What the rules concerned would have done over recorded history as they are, and as proposed, by the same code as
 * live. Nobody acknowledges in a replay: an alarm that comes back counts again.
 */
export const ReplayAnswerSchema = Type.Object(
  {
    fromMs: Type.Number(),
    toMs: Type.Number(),
    /** Rules that were replayed: those proposed, and those that a proposed one is put in order with. */
    rules: Type.Array(Type.String()),
    /** Tags and figures of these rules that hold nothing in this time: what rests on them is not judged. */
    withoutHistory: Type.Array(Type.String()),
    samples: Type.Integer(),
    /** Annunciations of each rule, most costly proposal first. */
    cost: Type.Array(AlarmCostSchema),
    inForce: ReplayedSchema,
    proposed: ReplayedSchema,
  },
  { $id: 'ReplayAnswer' },
);
export type ReplayAnswer = Static<typeof ReplayAnswerSchema>;
