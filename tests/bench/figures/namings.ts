import type { BalanceReport } from '#server/contract/balance-report.ts';

/** Whom a report names, as one text; null when it names nobody. */
function namedIn({ verdict, suspects }: BalanceReport): string | null {
  if (verdict !== 'instrument' && verdict !== 'candidates') return null;
  return suspects.map(({ tag }) => tag).join(' ');
}

/** How often a balance began to name somebody, or turned to somebody else. */
export function namingsIn(reports: readonly BalanceReport[]): number {
  let before: string | null = null;
  let count = 0;
  for (const report of reports) {
    const named = namedIn(report);
    if (named !== null && named !== before) count += 1;
    before = named;
  }
  return count;
}

/** Whether a report names this tag, alone or in its group. */
export function isNamed(report: BalanceReport, tags: readonly string[]): boolean {
  return namedIn(report) !== null && report.suspects.some((suspect) => tags.includes(suspect.tag));
}
