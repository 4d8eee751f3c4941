import type { LagReport } from '../contract/lag-report.ts';
import { lagErrorMsMax, lagEstimate, type LagEstimate } from './lag-estimate.ts';
import { lagPairs, type LagPair } from './lag-pairs.ts';
import { lagIntervalEndMs, NO_LAG_RECORD, withFrame, type LagRecord, type LagView } from './lag-record.ts';
import { isBypassed } from './line-context.ts';

/** What is remembered from tick to tick for telling lags from readings. */
export interface LagWatch {
  readonly record: LagRecord;
  /** By stream id. */
  readonly reports: ReadonlyMap<string, LagReport>;
}

export const NO_LAGS_YET: LagWatch = { record: NO_LAG_RECORD, reports: new Map() };

/** One stream a minute: an estimate takes milliseconds, and lags do not change from one minute to the next. */
const ESTIMATE_EVERY_MS = 60_000;

/**
 * One tick of the watch over lags. Lag from readings only proposes: no figure is computed with it. It says when the lag
 * in the configuration and the one in the readings disagree, so that a person looks.
 */
export function stepLagWatch(before: LagWatch, context: LagView): LagWatch {
  if (before.record.endMs === lagIntervalEndMs(context)) return before;
  const pairs = lagPairs(context.setup.graph, context.setup.layout);
  const record = withFrame(before.record, context, pairs);
  const reports = record.route === before.record.route ? before.reports : NO_LAGS_YET.reports;
  const due = dueMinute(before.record.endMs, record.endMs);
  const pair = due === null ? undefined : pairs[due % pairs.length];
  if (pair === undefined || isBypassed(context, pair.stream.from)) return { record, reports };
  const report = reportOf(context, record, pair);
  const isLastWord = report.verdict !== 'not-known-yet' || !isKnown(reports.get(pair.stream.id));
  // What was once told on this way stays told, with its time, while the feed is too steady to tell again.
  return { record, reports: isLastWord ? new Map(reports).set(pair.stream.id, report) : reports };
}

/** The number of the minute that ended between two instants, or null when none did. */
function dueMinute(fromMs: number | null, toMs: number | null): number | null {
  if (fromMs === null || toMs === null) return null;
  const minute = Math.floor(toMs / ESTIMATE_EVERY_MS);
  return minute === Math.floor(fromMs / ESTIMATE_EVERY_MS) ? null : minute;
}

function isKnown(report: LagReport | undefined): boolean {
  return report !== undefined && report.verdict !== 'not-known-yet';
}

function reportOf(context: LagView, record: LagRecord, pair: LagPair): LagReport {
  const { stream, from } = pair;
  const configuredMs = configuredWayMs(context, pair);
  const { feedKgPerHFloor } = context.setup.settings;
  const estimate = lagEstimate(record, { stream: stream.id, from: from.id, configuredMs, feedKgPerHFloor });
  const about = {
    line: context.setup.graph.id,
    stream: stream.id,
    from: from.id,
    configuredMs,
    timeMs: context.frame.endMs,
  };
  if (!estimate.known) {
    const { because } = estimate;
    return {
      ...about,
      verdict: 'not-known-yet',
      because,
      estimatedMs: null,
      errorMs: null,
      correlation: null,
    };
  }
  const { lagMs, errorMs, correlation } = estimate;
  const verdict = isApart(pair, { estimate, configuredMs }) ? 'disagrees' : 'agrees';
  return { ...about, verdict, because: null, estimatedMs: lagMs, errorMs, correlation };
}

/** As the plant's drawings say; a bypassed machine takes no time. */
function configuredWayMs(context: LagView, { between }: LagPair): number {
  return between.reduce(
    (sum, { from, transportMs }) => sum + (isBypassed(context, from) ? 0 : transportMs),
    0,
  );
}

/** Both may be off: the estimate by its error, the configured lag by what is stated of it or else by what lags need be good for. */
function isApart(
  { between }: LagPair,
  { estimate, configuredMs }: { estimate: LagEstimate & { known: true }; configuredMs: number },
): boolean {
  const statedMs = Math.sqrt(between.reduce((sum, part) => sum + (part.transportErrorMs ?? 0) ** 2, 0));
  const allowedMs = estimate.errorMs + Math.max(statedMs, lagErrorMsMax(configuredMs));
  return Math.abs(estimate.lagMs - configuredMs) > allowedMs;
}
