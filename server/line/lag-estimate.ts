import { flowSteps } from '../calc/transport/flow-steps.ts';
import { lagFit } from '../calc/transport/lag-fit.ts';
import type { LagReason } from '../contract/lag-report.ts';
import { LAG_INTERVAL_MS, type LagRecord } from './lag-record.ts';

export type LagEstimate =
  | { readonly known: true; readonly lagMs: number; readonly errorMs: number; readonly correlation: number }
  | { readonly known: false; readonly because: LagReason };

export interface LagQuestion {
  readonly stream: string;
  readonly from: string;
  /** What the configuration says: the search goes well beyond it. */
  readonly configuredMs: number;
  readonly feedKgPerHFloor: number;
}

const INTERVAL_S = LAG_INTERVAL_MS / 1000;
const MEANS_A_MINUTE = 60 / INTERVAL_S;
/** The feed must have gone over to another level this often, by this share: less may be chance. */
const STEPS_MIN = 3;
const STEP_RATIO = 0.1;
/** A lag that is known less well than this is of no use to anybody. */
const ERROR_MS_MAX = 5000;
const ERROR_RATIO_MAX = 0.1;
const LAG_BEYOND_S = 120;
/** Before this long a steady feed is no news. */
const WATCHED_S_MIN = 1800;

/** The lag of a stream as the last two hours show it, or why they do not. */
export function lagEstimate(record: LagRecord, question: LagQuestion): LagEstimate {
  const { feed, stream } = knownTogether(record, question);
  if (flowSteps(minuteMeans(feed), { stepRatio: STEP_RATIO, floor: question.feedKgPerHFloor }) < STEPS_MIN) {
    const isShort = feed.length * INTERVAL_S < WATCHED_S_MIN;
    return { known: false, because: isShort ? 'watched-too-short' : 'feed-too-steady' };
  }
  const lagSMax = (question.configuredMs / 1000) * 2 + LAG_BEYOND_S;
  const fit = lagFit({ feed, stream, intervalS: INTERVAL_S, lagSMax });
  if (fit === null) return { known: false, because: 'does-not-follow' };
  const lagMs = fit.lagS * 1000;
  const errorMs = fit.halfWidthS * 1000;
  if (errorMs > lagErrorMsMax(lagMs)) return { known: false, because: 'too-uncertain' };
  return { known: true, lagMs, errorMs, correlation: fit.correlation };
}

/** How far a lag may be off and still be of use: a tenth, and never less than five seconds. */
export function lagErrorMsMax(lagMs: number): number {
  return Math.max(ERROR_MS_MAX, lagMs * ERROR_RATIO_MAX);
}

/** Both flows since the last instant at which one of them was not known. */
function knownTogether(record: LagRecord, { stream, from }: LagQuestion) {
  const behind = record.flows.get(stream) ?? [];
  const before = record.flows.get(from) ?? [];
  const lastHole = behind.findLastIndex((mean, index) => mean === null || before[index] == null);
  const known = (means: readonly (number | null)[]) =>
    means.slice(lastHole + 1).map((mean) => Math.max(0, mean ?? 0));
  return { feed: known(before), stream: known(behind) };
}

function minuteMeans(means: readonly number[]): readonly number[] {
  return Array.from({ length: Math.floor(means.length / MEANS_A_MINUTE) }, (_, minute) => {
    const own = means.slice(minute * MEANS_A_MINUTE, (minute + 1) * MEANS_A_MINUTE);
    return own.reduce((sum, mean) => sum + mean, 0) / MEANS_A_MINUTE;
  });
}
