import type { ExportRequest, HistoryExport } from '../../ports/history-export.ts';
import type { SampleStore } from '../../ports/sample-store.ts';
import { definitionsWithin, exportPieces, selectedSeries } from './selection.ts';
import { startWritingThread } from './writing-thread.ts';

const CONTENT_TYPE = {
  csv: 'text/csv; charset=utf-8; header=present',
  parquet: 'application/vnd.apache.parquet',
} as const;

/** An export of a store's samples; its port says more. */
export async function historyExport(
  store: SampleStore,
  request: ExportRequest,
  signal: AbortSignal,
): Promise<HistoryExport> {
  const selected = selectedSeries(await store.catalogue(), request.names);
  const { format, fromMs, toMs } = request;
  const series = definitionsWithin(selected, request).map(({ name, unit }) => ({ name, unit }));

  async function* body(): AsyncGenerator<Uint8Array> {
    signal.throwIfAborted();
    const thread = startWritingThread({ format, series });
    try {
      for (const each of selected) {
        for await (const piece of exportPieces(store, each, { fromMs, toMs, signal })) {
          yield* unlessEmpty(await thread.write(piece));
        }
      }
      yield* unlessEmpty(await thread.write(null));
    } finally {
      await thread.end();
    }
  }
  return { contentType: CONTENT_TYPE[format], fileName: fileNameOf(request), body: body() };
}

function* unlessEmpty(bytes: Uint8Array): Generator<Uint8Array> {
  if (bytes.length > 0) yield bytes;
}

/** Both ends in the basic form of ISO 8601, whose letters every file system takes. */
function fileNameOf({ fromMs, toMs, format }: ExportRequest): string {
  const basic = (timeMs: number): string =>
    `${new Date(timeMs).toISOString().slice(0, 19).replaceAll(/[:-]/g, '')}Z`;
  return `sievewright-${basic(fromMs)}-${basic(toMs)}.${format}`;
}
