import type { Priority } from '../contract/alarm-message.ts';
import type { AlarmMetrics } from './alarm-metrics.ts';

/** One measure beside its target; both in the measure's own unit, shares from 0 to 1. */
export interface MetricVerdict {
  readonly metric: string;
  readonly value: number;
  readonly targetMax: number;
  readonly isMet: boolean;
}

/**
 * Shares of the priorities that leave the urgent ones urgent: 80 low, 15 medium, 5 high, less than 1 critical.
 * Source: ISA-18.2 / EEMUA 191, from memory.
 */
const PRIORITY_RATIO_MAX: Readonly<Partial<Record<Priority, number>>> = {
  critical: 0.01,
  high: 0.05,
  medium: 0.15,
};

/**
 * Which measures meet the targets of the standards, and which do not?
 *
 * Shape    measures of a span -> a verdict for each
 * Units    as the measure
 * Throws   never
 * Source   per day, hour and ten minutes: ISA-18.2 (2009), IEC 62682 (2014); the rest ISA-18.2 / EEMUA 191 from memory.
 *          They hold for one operator position and want 30 days; a shorter span is a hint.
 *
 * @example 144 a day: met, exactly at the edge
 */
export function metricVerdicts(metrics: AlarmMetrics): readonly MetricVerdict[] {
  const verdict = (metric: string, value: number, targetMax: number): MetricVerdict => ({
    metric,
    value,
    targetMax,
    isMet: value <= targetMax,
  });
  const shareOf = (priority: Priority) =>
    metrics.annunciations === 0 ? 0 : metrics.byPriority[priority] / metrics.annunciations;
  return [
    verdict('perDay', metrics.perDay, 144),
    verdict('perHour', metrics.perHour, 6),
    verdict('perTenMinutes', metrics.perTenMinutes, 1),
    verdict('tenMinutesMax', metrics.tenMinutesMax, 10),
    verdict('busyTenMinutesRatio', metrics.busyTenMinutesRatio, 0.01),
    verdict('busyHoursRatio', metrics.busyHoursRatio, 0.01),
    verdict('floodRatio', metrics.floodRatio, 0.01),
    verdict('topTenRatio', metrics.topTenRatio, 0.05),
    verdict('chattering', metrics.chattering.length, 0),
    verdict('fleeting', metrics.fleeting.length, 0),
    verdict('stale', metrics.stale.length, 4),
    ...(Object.keys(PRIORITY_RATIO_MAX) as Priority[]).map((priority) =>
      verdict(`${priority}Ratio`, shareOf(priority), PRIORITY_RATIO_MAX[priority] ?? 1),
    ),
  ];
}
