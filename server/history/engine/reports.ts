import type { FaultCode, FaultParts } from '../../contract/faults.ts';

/** Something that a person should know and that no caller waits for. */
export interface StoreReport {
  readonly code: FaultCode;
  readonly parts: FaultParts;
}

export type Report = (report: StoreReport) => void;

interface DamageReports {
  readonly chunk: (chunk: { readonly id: number }, because: string) => void;
  readonly journal: (seq: number, because: string) => void;
  readonly rollup: (table: string, id: number, because: string) => void;
}

/** What was found damaged while reading; the rest is read on. */
export function damageReports(report: Report): DamageReports {
  const tell = (subject: string, because: string): void => {
    const remedy = 'it is left out of answers; the command check-history --repair moves it to quarantine';
    report({
      code: 'HISTORY_DAMAGED',
      parts: { subject, got: because, expected: 'bytes that fit their checksum', remedy },
    });
  };
  return {
    chunk: ({ id }, because) => tell(`chunk ${id}`, because),
    journal: (seq, because) => tell(`journal row ${seq}`, because),
    rollup: (table, id, because) => tell(`${table} ${id}`, because),
  };
}
