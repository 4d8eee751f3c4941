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
const TermSchema = Type.Union([
  Type.Object({ subject: Subject, above: Type.Number(), unit: UnitCodeSchema }, closed),
  Type.Object({ subject: Subject, below: Type.Number(), unit: UnitCodeSchema }, closed),
  Type.Object({ subject: Subject, is: Type.Enum(['on', 'off']) }, closed),
]);
export type AlarmTerm = Static<typeof TermSchema>;

/** All terms together, believed after they have held for `afterMs`, and for `lastsMs` after they have ceased. */
const PremiseSchema = Type.Object(
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
  /** Its response card: what it means, what to do, how soon; from that comes its priority. */
  card: Type.String({ minLength: 1 }),
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
          /** Where this limit asks for something else than the rule's other limits. */
          card: Type.Optional(Type.String({ minLength: 1 })),
        },
        closed,
      ),
      { minItems: 1, maxItems: 4 },
    ),
  },
  closed,
);

/** Where a figure should lie: its own band, or within an amount or a share of its own target. */
const AllowedDeviationSchema = Type.Union([
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

/** A value that moves by more than an amount within a time; what it rises or falls by is what the alarm shows. */
const ChangeRule = Type.Object(
  {
    ...Common,
    kind: Type.Literal('change'),
    subject: Subject,
    unit: UnitCodeSchema,
    amount: Type.Number({ exclusiveMinimum: 0 }),
    withinMs: Type.Integer({ minimum: 1000, maximum: 86_400_000 }),
    deadband: Deadband,
    /** Left out: both ways. */
    direction: Type.Optional(Type.Enum(['rising', 'falling'])),
  },
  closed,
);

/** A tag that is bad or stale, or a figure that cannot be computed for a reason that somebody should mend. */
const QualityRule = Type.Object({ ...Common, kind: Type.Literal('quality'), subject: Subject }, closed);

/** Control charts of the NIST/SEMATECH e-Handbook: 6.3.2.4 and 6.3.2.3. Widths are in standard deviations. */
const DriftChartSchema = Type.Union([
  Type.Object(
    {
      kind: Type.Literal('ewma'),
      weight: Type.Number({ exclusiveMinimum: 0, maximum: 1 }),
      width: Type.Number({ exclusiveMinimum: 0, maximum: 20 }),
    },
    closed,
  ),
  Type.Object(
    {
      kind: Type.Literal('cusum'),
      allowance: Type.Number({ minimum: 0, maximum: 5 }),
      decision: Type.Number({ exclusiveMinimum: 0, maximum: 100 }),
    },
    closed,
  ),
]);

/**
 * A figure that has drifted from where it was, long before it leaves its band. The chart takes a sample now and then,
 * not every tick: neighbouring values repeat each other, and a chart that believes them signals tenfold too often.
 * It starts anew at a lot or setting change.
 */
const DriftRule = Type.Object(
  {
    ...Common,
    kind: Type.Literal('drift'),
    subject: Subject,
    unit: UnitCodeSchema,
    chart: DriftChartSchema,
    sampleMs: Type.Integer({ minimum: 1000, maximum: 3_600_000 }),
    /** Where the figure should lie: its target, or where its first samples lay. */
    center: Type.Enum(['target', 'learned']),
    /** Samples from which the spread, and a learned center, are taken. */
    learnSamples: Type.Integer({ minimum: 8, maximum: 200 }),
    /** The spread is taken to be at least this: scales round. */
    deviationMin: Type.Number({ exclusiveMinimum: 0 }),
  },
  closed,
);

export const AlarmRuleSchema = Type.Union(
  [LimitRule, DeviationRule, ChangeRule, DriftRule, QualityRule, RunContactRule, ConditionRule],
  { $id: 'AlarmRule' },
);
export type AlarmRule = Static<typeof AlarmRuleSchema>;

/** How well the stops of one line can be told apart, and what its controller itself knows. */
const FirstStopSettingsSchema = Type.Object(
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

/** How bad it gets when nobody responds. */
const SEVERITIES = ['minor', 'major', 'severe'] as const;

const Sentence = Type.String({ minLength: 1, maxLength: 300 });

/** What the operator needs to know when the alarm comes, in the plant's own words. Source of its parts: ISA-18.2. */
export const ResponseCardSchema = Type.Object(
  {
    causes: Type.Array(Sentence, { minItems: 1, maxItems: 8 }),
    /** What happens when nothing is done. */
    consequence: Sentence,
    severity: Type.Enum([...SEVERITIES]),
    actions: Type.Array(Sentence, { minItems: 1, maxItems: 8 }),
    /** How long the operator has before the consequence is there. */
    respondWithinMs: Type.Integer({ minimum: 1000, maximum: 86_400_000 }),
  },
  { ...closed, $id: 'ResponseCard' },
);
export type ResponseCard = Static<typeof ResponseCardSchema>;

const PriorityName = Type.Enum([...PRIORITIES]);

/** One row of the matrix: the priority of a consequence when there is at most this long to respond. */
const PriorityRowSchema = Type.Object(
  { withinMs: Type.Integer({ minimum: 1 }), minor: PriorityName, major: PriorityName, severe: PriorityName },
  closed,
);
export type PriorityRow = Static<typeof PriorityRowSchema>;

/** A state of the plant in which some alarms are not wanted: they are followed and listed, and ask nobody. */
export const SuppressionSchema = Type.Object(
  {
    id: Type.String({ pattern: '^[^.\\s]+\\.[^.\\s]+\\.[^.\\s]+$' }),
    line: Type.String({ minLength: 1 }),
    while: PremiseSchema,
    rules: Type.Array(Type.String(), { minItems: 1 }),
    /** Why, for the list of what is suppressed. */
    reason: Sentence,
  },
  closed,
);
export type Suppression = Static<typeof SuppressionSchema>;

/** The file of alarm rules as a person writes it. */
export const AlarmConfigurationSchema = Type.Object(
  {
    /** Rows by rising time; the first whose time is enough for the card counts, the last counts for all beyond. */
    priorities: Type.Array(PriorityRowSchema, { minItems: 1 }),
    cards: Type.Record(Type.String(), ResponseCardSchema),
    firstStop: Type.Array(FirstStopSettingsSchema),
    suppressions: Type.Array(SuppressionSchema),
    rules: Type.Array(AlarmRuleSchema),
  },
  { ...closed, $id: 'AlarmConfiguration' },
);
export type AlarmConfiguration = Static<typeof AlarmConfigurationSchema>;
