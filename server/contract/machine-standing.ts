import { Type, type Static } from 'typebox';
import { DIRECTIONS, FindingSchema, MachineCheckSchema, RESIDUAL_KINDS } from './machine-health.ts';
import { MachineBaselineSchema, FindingEntrySchema } from './machine-records.ts';
import { nullable } from './nullable.ts';
import { MarkSchema } from './records.ts';
import { UnitCodeSchema } from './unit-code.ts';

const REGIMES = ['stopped', 'starting', 'running', 'unknown'] as const;

/** Level of a residual, against which it is judged: at 1 it would be a finding. */
const SignalStandingSchema = Type.Object(
  {
    signal: Type.String(),
    unit: UnitCodeSchema,
    residual: Type.Enum([...RESIDUAL_KINDS]),
    /** Smoothed residual; null until two hours of running were watched. */
    level: nullable(Type.Number()),
    /** The level beyond which it is a finding. */
    levelMin: nullable(Type.Number()),
    /** What was measured last, and what was expected at that load; null where nothing was learnt or measured. */
    value: nullable(Type.Number()),
    expected: nullable(Type.Number()),
    isDrifting: Type.Boolean(),
  },
  { $id: 'SignalStanding' },
);
export type SignalStanding = Static<typeof SignalStandingSchema>;

const BaselineNoteSchema = Type.Object({
  version: Type.Integer(),
  timeMs: Type.Number(),
  fromMs: Type.Number(),
  toMs: Type.Number(),
  reason: Type.String(),
});

/** One machine as it stands; the list of them is in order of concern. */
export const MachineStandingSchema = Type.Object(
  {
    machine: Type.String(),
    name: Type.String(),
    line: Type.String(),
    /** The machine of the line's graph that it belongs to. */
    partOf: Type.String(),
    kind: Type.String(),
    regime: Type.Enum([...REGIMES]),
    /** Null while nothing was learnt: then nothing can deviate. */
    baseline: nullable(BaselineNoteSchema),
    signals: Type.Array(SignalStandingSchema),
    checks: Type.Array(MachineCheckSchema),
    finding: nullable(FindingSchema),
    /** 0 = as learnt, 1 = a finding, more = more; what the order of concern is made of. */
    concern: Type.Number(),
    /** The worst level of each of the last 30 days as a share of what would be a finding. */
    days: Type.Array(Type.Object({ timeMs: Type.Number(), worst: Type.Number() })),
  },
  { $id: 'MachineStanding' },
);
export type MachineStanding = Static<typeof MachineStandingSchema>;

/** What many machines have in common, and is nobody's fault: supply voltage, weather, feed. */
export const CommonShiftSchema = Type.Object(
  {
    signal: Type.String(),
    direction: Type.Enum([...DIRECTIONS]),
    level: Type.Number(),
    sinceMs: Type.Number(),
  },
  { $id: 'CommonShift' },
);
export type CommonShift = Static<typeof CommonShiftSchema>;

export const MachinesAnswerSchema = Type.Object(
  {
    machines: Type.Array(MachineStandingSchema),
    common: Type.Array(CommonShiftSchema),
    /** Up to here history was read; null before the first window. */
    watchedUntilMs: nullable(Type.Number()),
    /** Configured causes with their reasons and what to look at. */
    causes: Type.Array(
      Type.Object({ cause: Type.String(), name: Type.String(), why: Type.String(), check: Type.String() }),
    ),
  },
  { $id: 'MachinesAnswer' },
);
export type MachinesAnswer = Static<typeof MachinesAnswerSchema>;

/** Measured points of one signal beside what was expected, as columns; residuals in blocks of two hours of running. */
const SignalCourseSchema = Type.Object({
  signal: Type.String(),
  unit: UnitCodeSchema,
  residual: Type.Enum([...RESIDUAL_KINDS]),
  timeMs: Type.Array(Type.Number()),
  load: Type.Array(nullable(Type.Number())),
  value: Type.Array(Type.Number()),
  expected: Type.Array(nullable(Type.Number())),
  /** Spread of one point about the expected value, in the signal's unit. */
  spread: Type.Array(nullable(Type.Number())),
  blockTimeMs: Type.Array(Type.Number()),
  blockResidual: Type.Array(Type.Number()),
});
export type SignalCourse = Static<typeof SignalCourseSchema>;

/** Current over the first seconds of one start-up. */
const StartUpSchema = Type.Object({
  startedMs: Type.Number(),
  afterMs: Type.Array(Type.Number()),
  currentA: Type.Array(Type.Number()),
  peakA: nullable(Type.Number()),
  /** From the contact until the current has come down to within a tenth of where it settles; null if it did not. */
  runUpMs: nullable(Type.Number()),
});
export type StartUp = Static<typeof StartUpSchema>;

export const MachinePageSchema = Type.Object(
  {
    standing: MachineStandingSchema,
    courses: Type.Array(SignalCourseSchema),
    startUps: Type.Array(StartUpSchema),
    /** Versions, newest first. */
    baselines: Type.Array(MachineBaselineSchema),
    entries: Type.Array(FindingEntrySchema),
    marks: Type.Array(MarkSchema),
  },
  { $id: 'MachinePage' },
);
export type MachinePage = Static<typeof MachinePageSchema>;

export const LearnMachineSchema = Type.Object({
  kind: Type.Literal('learn-machine'),
  line: Type.String(),
  machine: Type.String(),
  /** The period in which it was healthy, as a person says. */
  fromMs: Type.Number({ minimum: 0 }),
  toMs: Type.Number({ minimum: 0 }),
  reason: Type.String({ minLength: 1, maxLength: 500 }),
});
export type LearnMachine = Static<typeof LearnMachineSchema>;
