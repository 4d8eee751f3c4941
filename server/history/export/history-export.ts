import type { SampleStore } from '../../ports/sample-store.ts';
import { csvExport } from './export-csv.ts';
import { parquetExport } from './export-parquet.ts';
import type { Selection } from './selection.ts';

export const EXPORT_FORMATS = ['csv', 'parquet'] as const;
export type ExportFormat = (typeof EXPORT_FORMATS)[number];

/** An export as an HTTP answer or a file needs it; nothing is read before `body` is. */
export interface HistoryExport {
  readonly contentType: string;
  readonly fileName: string;
  readonly body: AsyncIterable<string | Uint8Array>;
}

/** Aborting the signal ends the body with the signal's reason. */
export function historyExport(
  store: SampleStore,
  { format, ...selection }: Selection & { readonly format: ExportFormat },
  signal: AbortSignal,
): HistoryExport {
  const from = new Date(selection.fromMs).toISOString().slice(0, 16).replaceAll(':', '');
  const fileName = `sievewright-${from}.${format}`;
  if (format === 'csv') {
    const contentType = 'text/csv; charset=utf-8; header=present';
    return { contentType, fileName, body: csvExport(store, selection, signal) };
  }
  const contentType = 'application/vnd.apache.parquet';
  return { contentType, fileName, body: parquetExport(store, selection, signal) };
}
