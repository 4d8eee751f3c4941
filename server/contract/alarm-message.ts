import { Type, type Static } from 'typebox';
import { UNKNOWN_REASONS } from '../calc/unknown-reason.ts';
import { QuantitySchema } from './unit-code.ts';
import { nullable } from './nullable.ts';

/** Most urgent first. Source of the idea of few priorities: ISA-18.2 / IEC 62682. */
export const PRIORITIES = ['critical', 'high', 'medium', 'low'] as const;
export type Priority = (typeof PRIORITIES)[number];

/** The states of ISA-18.2 / IEC 62682, in the words of those standards. */
export const ALARM_STATES = [
  'normal',
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'latched-unacknowledged',
  'latched-acknowledged',
  'shelved',
  'suppressed-by-design',
  'out-of-service',
] as const;
export type AlarmState = (typeof ALARM_STATES)[number];

/** The names of limits in OPC UA Part 9, most severe of each side at the ends. */
export const LIMIT_SIDES = ['high-high', 'high', 'low', 'low-low'] as const;

/** What an alarm says; the sentence is made by the reader from the code and the parameters. */
export const ALARM_CODES = [
  'high-high',
  'high',
  'low',
  'low-low',
  'above-band',
  'below-band',
  'above-target',
  'below-target',
  'machine-stopped',
  'stopped-first',
  'bad-quality',
  'link-lost',
  /** One of `candidates` stopped first; neither times nor interlocks tell which. */
  'first-stop-unclear',
  /** A contact, such as a plugged chute or an emergency stop; the subject's name says what it means. */
  'contact',
  'liquid-without-seed',
  'seed-without-liquid',
  'rising-fast',
  'falling-fast',
  'drift-up',
  'drift-down',
] as const;
export type AlarmCode = (typeof ALARM_CODES)[number];

/** A parameter of a sentence: a quantity with its unit, or the id or name of a thing. */
export const AlarmParameterSchema = Type.Union([QuantitySchema, Type.String()]);
export type AlarmParameter = Static<typeof AlarmParameterSchema>;

const AcknowledgementSchema = Type.Object({ by: Type.String(), timeMs: Type.Number() });

/** A machine that stopped because another did, and how long after it. */
const ConsequenceSchema = Type.Object({ machine: Type.String(), delayMs: Type.Number() });

/** Set aside by a person, for a time, with a reason. */
const ShelvingSchema = Type.Object({
  by: Type.String(),
  timeMs: Type.Number(),
  untilMs: Type.Number(),
  /** Ends before its time when the alarm's condition has come and gone. */
  isOneShot: Type.Boolean(),
  reason: Type.String(),
});

/** Set aside by maintenance until it is put back by hand. */
const OutOfServiceSchema = Type.Object({ by: Type.String(), timeMs: Type.Number(), reason: Type.String() });

export const AlarmMessageSchema = Type.Object(
  {
    id: Type.String({ description: 'The id of the rule, which starts with the line' }),
    line: Type.String(),
    machine: nullable(Type.String()),
    /** The tag or figure that the rule watches. */
    subject: Type.String(),
    code: Type.Enum([...ALARM_CODES]),
    params: Type.Record(Type.String(), AlarmParameterSchema),
    priority: Type.Enum([...PRIORITIES]),
    state: Type.Enum([...ALARM_STATES]),
    /** When the condition became true, by source time. */
    raisedMs: Type.Number(),
    clearedMs: nullable(Type.Number()),
    acknowledged: nullable(AcknowledgementSchema),
    consequences: Type.Array(ConsequenceSchema),
    /** Machines of which one stopped first, where it cannot be told which; absent where it can. */
    candidates: Type.Optional(Type.Array(Type.String())),
    /** Why the alarm stands as it did although its input says nothing now; absent while the input speaks. */
    heldBecause: Type.Optional(Type.Enum([...UNKNOWN_REASONS])),
    /** Ids of the suppressions that withhold it now; absent while there is none. */
    suppressedBy: Type.Optional(Type.Array(Type.String())),
    /** Absent while not shelved. */
    shelved: Type.Optional(ShelvingSchema),
    /** Absent while in service. */
    outOfService: Type.Optional(OutOfServiceSchema),
    /** The response card for what it says now, by its name in the catalogue; absent when its rule is gone. */
    card: Type.Optional(Type.String()),
  },
  { $id: 'AlarmMessage' },
);
export type AlarmMessage = Static<typeof AlarmMessageSchema>;

/** One line of the alarm journal: what changed, when by source time, by whom (null: by the plant). */
export const AlarmTransitionSchema = Type.Object(
  {
    alarm: Type.String(),
    line: Type.String(),
    machine: nullable(Type.String()),
    /** The tag or figure that the rule watches; of an entry older than records version 3, the alarm's id. */
    subject: Type.String(),
    timeMs: Type.Number(),
    from: Type.Enum([...ALARM_STATES]),
    to: Type.Enum([...ALARM_STATES]),
    code: Type.Enum([...ALARM_CODES]),
    priority: Type.Enum([...PRIORITIES]),
    by: nullable(Type.String()),
    params: Type.Record(Type.String(), AlarmParameterSchema),
    /** Why a person shelved it, took it out of service or put it back; absent for all else. */
    reason: Type.Optional(Type.String()),
    /** When a shelving that begins here ends by itself at the latest; absent for all else. */
    untilMs: Type.Optional(Type.Number()),
  },
  { $id: 'AlarmTransition' },
);
export type AlarmTransition = Static<typeof AlarmTransitionSchema>;
