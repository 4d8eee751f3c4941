import { Type, type Static } from 'typebox';
import { LIMIT_SIDES, PRIORITIES } from './alarm-message.ts';
import { UnitCodeSchema } from './unit-code.ts';
import { nullable } from './nullable.ts';

/** Unknown keys are refused: a misspelt key that is silently ignored is the worst kind of configuration. */
const closed = { additionalProperties: false };
/** A day: an alarm that waits longer is a report. */
const Delay = Type.Integer({ minimum: 0, maximum: 86_400_000 });
const Subject = Type.String({ minLength: 1, description: 'id of a tag or a figure' });
const Deadband = Type.Number({ minimum: 0 });

/** Something that a tag or figure says. A contact is on at 1. Exactly at the number is neither above nor below. */
export const TermSchema = Type.Union([
  Type.Object({ subject: Subject, above: Type.Number(), unit: UnitCodeSchema }, closed),
  Type.Object({ subject: Subject, below: Type.Number(), unit: UnitCodeSchema }, closed),
  Type.Object({ subject: Subject, is: Type.Enum(['on', 'off']) }, closed),
]);
export type AlarmTerm = Static<typeof TermSchema>;

/** All terms together, believed after they have held for `afterMs`, and for `lastsMs` after they have ceased. */
export const PremiseSchema = Type.Object(
  {
    all: Type.Array(TermSchema, { minItems: 1, maxItems: 8 }),
    afterMs: Type.Optional(Delay),
    lastsMs: Type.Optional(Delay),
  },
  closed,
);
export type Premise = Static<typeof PremiseSchema>;

const Common = {
  id: Type.String({
    pattern: '^[^.\\s]+\\.[^.\\s]+\\.[^.\\s]+$',
    description: '<line>.<machine or "line">.<name>',
  }),
  line: Type.String({ minLength: 1 }),
  machine: nullable(Type.String({ minLength: 1 })),
  priority: Type.Enum([...PRIORITIES]),
  /** The condition must hold this long, without a break, before it is an alarm. */
  onDelayMs: Type.Optional(Delay),
  /** The condition must be gone this long before the alarm is. */
  offDelayMs: Type.Optional(Delay),
  /** Part of the condition: the rule asks its question only then. Left out: always. */
  armed: Type.Optional(PremiseSchema),
  /** A latching alarm that has returned stands until someone resets it. */
  isLatching: Type.Optional(Type.Boolean()),
  /** An acknowledged alarm that is still there asks again after this time. */
  reAlarmMs: Type.Optional(Type.Integer({ minimum: 60_000, maximum: 86_400_000 })),
};

/** Fixed limits on one tag or figure: one alarm, whose code says which limit it is beyond (exclusive limits). */
const LimitRule = Type.Object(
  {
    ...Common,
    kind: Type.Literal('limit'),
    subject: Subject,
    unit: UnitCodeSchema,
    limits: Type.Array(
      Type.Object(
        {
          side: Type.Enum([...LIMIT_SIDES]),
          limit: Type.Number(),
          deadband: Deadband,
          /** Where this limit is more or less urgent than the rule. */
          priority: Type.Optional(Type.Enum([...PRIORITIES])),
        },
        closed,
      ),
      { minItems: 1, maxItems: 4 },
    ),
  },
  closed,
);

/** Where a figure should lie: its own band, or within an amount or a share of its own target. */
export const AllowedDeviationSchema = Type.Union([
  Type.Object({ from: Type.Literal('band'), deadband: Deadband }, closed),
  Type.Object(
    { from: Type.Literal('target'), amount: Type.Number({ exclusiveMinimum: 0 }), deadband: Deadband },
    closed,
  ),
  Type.Object(
    {
      from: Type.Literal('target'),
      ratio: Type.Number({ exclusiveMinimum: 0, maximum: 10 }),
      deadbandRatio: Deadband,
    },
    closed,
  ),
]);
export type AllowedDeviation = Static<typeof AllowedDeviationSchema>;

/** A figure beyond where it should lie for this lot, above or below. */
const DeviationRule = Type.Object(
  {
    ...Common,
    kind: Type.Literal('deviation'),
    subject: Subject,
    unit: UnitCodeSchema,
    allowed: AllowedDeviationSchema,
  },
  closed,
);

/** Further rules of the line whose stop follows from this one, by interlock; `line` means all of them. */
const Takes = Type.Optional(Type.Union([Type.Array(Type.String()), Type.Literal('line')]));

/**
 * A drive that was running while armed and whose contact has opened. Arming counts at the instant it opens:
 * seed that stops flowing afterwards does not take the alarm back. Machines that feed it follow from the graph.
 */
const RunContactRule = Type.Object(
  {
    ...Common,
    kind: Type.Literal('run-contact'),
    subject: Subject,
    /** `contact` for a contact that is no drive's, such as a speed switch. */
    code: Type.Optional(Type.Enum(['machine-stopped', 'contact'])),
    takes: Takes,
  },
  closed,
);

/** All terms together: contacts, interlocks, and pairs that must not be. Its code says which. */
const ConditionRule = Type.Object(
  {
    ...Common,
    kind: Type.Literal('condition'),
    code: Type.Enum(['contact', 'liquid-without-seed', 'seed-without-liquid']),
    when: Type.Array(TermSchema, { minItems: 1, maxItems: 8 }),
    takes: Takes,
  },
  closed,
);

export const AlarmRuleSchema = Type.Union([LimitRule, DeviationRule, RunContactRule, ConditionRule], {
  $id: 'AlarmRule',
});
export type AlarmRule = Static<typeof AlarmRuleSchema>;

/** How well the stops of one line can be told apart, and what its controller itself knows. */
export const FirstStopSettingsSchema = Type.Object(
  {
    line: Type.String({ minLength: 1 }),
    /** Clock skew + sampling interval + scan of the controller: two stops closer than this are simultaneous to us. */
    resolutionMs: Type.Integer({ minimum: 1, maximum: 10_000 }),
    /** Longest pause between a stop and the next one that follows from it. */
    gapMsMax: Type.Integer({ minimum: 1, maximum: 60_000 }),
    /** A machine that still stands this long after its cause has gone speaks for itself. */
    graceMs: Delay,
    /** The controller's own first-out latch: its value tells the rule whose machine stopped first; 0 is none. */
    latch: Type.Optional(
      Type.Object({ tag: Subject, rules: Type.Record(Type.String(), Type.String()) }, closed),
    ),
  },
  closed,
);
export type FirstStopSettings = Static<typeof FirstStopSettingsSchema>;

/** The file of alarm rules as a person writes it. */
export const AlarmConfigurationSchema = Type.Object(
  { firstStop: Type.Array(FirstStopSettingsSchema), rules: Type.Array(AlarmRuleSchema) },
  { ...closed, $id: 'AlarmConfiguration' },
);
export type AlarmConfiguration = Static<typeof AlarmConfigurationSchema>;
