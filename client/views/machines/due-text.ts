import type { DueTime } from '../../../server/contract/machine-health.ts';
import type { Texts } from '../../texts/en.ts';

const DAY_MS = 86_400_000;

/** "in about 9 days (6 to 14)"; a range that is open says so. */
export function dueText(due: DueTime | null, nowMs: number, words: Texts['machines']): string {
  if (due === null) return '';
  const days = (timeMs: number) => String(Math.max(0, Math.round((timeMs - nowMs) / DAY_MS)));
  if (due.middleMs <= nowMs) return words.dueNow;
  return due.latestMs === null
    ? words.dueOpen(days(due.middleMs), days(due.earliestMs))
    : words.due(days(due.middleMs), days(due.earliestMs), days(due.latestMs));
}
