import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';
import { UnitCodeSchema } from './unit-code.ts';

/** How a residual is counted: as a share of what is expected, or in the signal's own unit. */
export const RESIDUAL_KINDS = ['ratio', 'difference'] as const;
export type ResidualKind = (typeof RESIDUAL_KINDS)[number];

export const DIRECTIONS = ['high', 'low'] as const;
export type Direction = (typeof DIRECTIONS)[number];

/** What the course since the onset looks like: all at once, little by little, or too early to say. */
const COURSES = ['step', 'creep', 'unsettled'] as const;

/** When a deviation reaches its limit: the middle of what is plausible, and a range that holds nine times in ten. */
export const DueTimeSchema = Type.Object(
  {
    earliestMs: Type.Number(),
    middleMs: Type.Number(),
    /** Null when it may never be reached. */
    latestMs: nullable(Type.Number()),
  },
  { $id: 'DueTime' },
);
export type DueTime = Static<typeof DueTimeSchema>;

/** One signal of a machine that is not what it should be at this load. */
export const SignalDeviationSchema = Type.Object(
  {
    signal: Type.String(),
    direction: Type.Enum([...DIRECTIONS]),
    residual: Type.Enum([...RESIDUAL_KINDS]),
    /** Smoothed distance from the baseline: a share, or in the signal's unit. */
    level: Type.Number(),
    sinceMs: Type.Number(),
    course: Type.Enum([...COURSES]),
    /** Per day, with its range of 90 %; null while it is not significant. */
    slopePerDay: nullable(Type.Object({ middle: Type.Number(), low: Type.Number(), high: Type.Number() })),
    /** The deviation at which it has to be repaired; null where none is set. */
    limit: nullable(Type.Number()),
    due: nullable(DueTimeSchema),
  },
  { $id: 'SignalDeviation' },
);
export type SignalDeviation = Static<typeof SignalDeviationSchema>;

/** Never more certain than the evidence: `likely` needs two signals that agree and no rival close behind. */
const CERTAINTIES = ['likely', 'possible'] as const;

export const LikelyCauseSchema = Type.Object(
  {
    cause: Type.String({ description: 'id of an entry of the configured table' }),
    certainty: Type.Enum([...CERTAINTIES]),
    score: Type.Number(),
    /** The evidence as `<signal>-<direction>`, what spoke for it. */
    evidence: Type.Array(Type.String()),
  },
  { $id: 'LikelyCause' },
);
export type LikelyCause = Static<typeof LikelyCauseSchema>;

/** One notice of the maintenance work list: one machine, all its signals, what it may be. */
export const FindingSchema = Type.Object(
  {
    machine: Type.String(),
    sinceMs: Type.Number(),
    foundMs: Type.Number(),
    deviations: Type.Array(SignalDeviationSchema),
    /** Best first; empty when nothing in the table fits. */
    causes: Type.Array(LikelyCauseSchema),
    /** The first of its signals to reach its limit. */
    due: nullable(DueTimeSchema),
  },
  { $id: 'Finding' },
);
export type Finding = Static<typeof FindingSchema>;

/** What known physics and published limits say of a machine, whatever its own past. */
const CHECKS = [
  'vibration-zone',
  'current-unbalance',
  'voltage-unbalance',
  'winding-margin',
  'thermal-warmth',
  'belt-slip',
  'leg-speed',
  'fan-law-pressure',
  'service-hours',
  'service-starts',
] as const;
const VERDICTS = ['good', 'watch', 'act'] as const;
export type Verdict = (typeof VERDICTS)[number];

export const MachineCheckSchema = Type.Object(
  {
    check: Type.Enum([...CHECKS]),
    verdict: Type.Enum([...VERDICTS]),
    /** What was found, and from where on it is to be watched or acted on; in `unit`. */
    value: Type.Number(),
    watchFrom: Type.Number(),
    actFrom: Type.Number(),
    unit: UnitCodeSchema,
    /** The zone, the service task and the like, where the number alone does not say it. */
    detail: nullable(Type.String()),
  },
  { $id: 'MachineCheck' },
);
export type MachineCheck = Static<typeof MachineCheckSchema>;
