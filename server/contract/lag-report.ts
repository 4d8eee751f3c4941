import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';

/** Why the lag of a stream cannot be told from its flow. */
const LAG_REASONS = [
  /** The line has not run this way, without a stop or a hole, for long enough. */
  'watched-too-short',
  /** The feed has hardly changed: nothing to recognise further down. */
  'feed-too-steady',
  /** The stream does not follow the feed. */
  'does-not-follow',
  'too-uncertain',
] as const;
export type LagReason = (typeof LAG_REASONS)[number];

const LAG_VERDICTS = ['agrees', 'disagrees', 'not-known-yet'] as const;

/** The lag of one stream as the readings show it, beside the one in the configuration. */
export const LagReportSchema = Type.Object(
  {
    line: Type.String(),
    stream: Type.String(),
    /** Id of the stream that it is counted from: the first weighed one behind the last bin. */
    from: Type.String(),
    verdict: Type.Enum([...LAG_VERDICTS]),
    /** Null while the verdict is no "not-known-yet". */
    because: nullable(Type.Enum([...LAG_REASONS])),
    configuredMs: Type.Number(),
    estimatedMs: nullable(Type.Number()),
    /** Half-width of the estimate's 95 % interval. */
    errorMs: nullable(Type.Number()),
    /** How well the stream's changes follow those of the feed, 0 to 1. */
    correlation: nullable(Type.Number()),
    /** When the readings ended that it rests on. */
    timeMs: Type.Number(),
  },
  { $id: 'LagReport' },
);
export type LagReport = Static<typeof LagReportSchema>;
