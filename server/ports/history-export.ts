import type { ExportFormat } from '../contract/export-format.ts';

/** Every sample of these series in `[fromMs, toMs)`. */
export interface ExportRequest {
  /** Names of series, past ones too; one that ends in `*` stands for all whose name begins so. */
  readonly names: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly format: ExportFormat;
}

/** An export as an HTTP answer or a file needs it; no sample is read before `body` is. */
export interface HistoryExport {
  readonly contentType: string;
  readonly fileName: string;
  readonly body: AsyncIterable<Uint8Array>;
}

/**
 * Rejects with REQUEST_UNKNOWN when a name is none. Aborting the signal ends the body with the signal's reason. Making
 * text or columns of the samples does not hold up the caller's event loop.
 */
export type ExportHistory = (request: ExportRequest, signal: AbortSignal) => Promise<HistoryExport>;
