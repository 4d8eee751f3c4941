import type { RawColumns, SampleStore, StoredSeries } from '../../ports/sample-store.ts';
import { StoreFault } from '../store-fault.ts';

/** What is to be exported: every sample of these series in `[fromMs, toMs)`. */
export interface Selection {
  readonly names: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
}

/** Samples of one series in one unit: where the unit changed, a new piece begins. */
export interface ExportPiece {
  readonly definition: StoredSeries;
  readonly columns: RawColumns;
}

export async function* exportPieces(
  store: SampleStore,
  selection: Selection,
  signal: AbortSignal,
): AsyncGenerator<ExportPiece> {
  const catalogue = await store.catalogue();
  for (const name of selection.names) {
    const definitions = catalogue.filter((definition) => definition.name === name);
    const [first] = definitions;
    if (first === undefined) throw unknownName(name);
    const request = { series: [first.series], fromMs: selection.fromMs, toMs: selection.toMs };
    for await (const columns of store.raw(request, signal)) yield* byDefinition(columns, definitions);
  }
}

/** The definitions in force somewhere in the selection: their units belong into a header. */
export async function selectedDefinitions(
  store: SampleStore,
  { names, fromMs, toMs }: Selection,
): Promise<readonly StoredSeries[]> {
  const catalogue = await store.catalogue();
  const missing = names.find((name) => !catalogue.some((definition) => definition.name === name));
  if (missing !== undefined) throw unknownName(missing);
  return names.flatMap((name) => {
    const own = catalogue.filter((definition) => definition.name === name);
    return own.filter((d, i) => (i === 0 || d.validFromMs < toMs) && (d.validToMs ?? Infinity) > fromMs);
  });
}

function* byDefinition(columns: RawColumns, definitions: readonly StoredSeries[]): Generator<ExportPiece> {
  const { series, timeMs, value, status, reason } = columns;
  let from = 0;
  for (const definition of definitions) {
    const endMs = definition.validToMs ?? Infinity;
    const found = timeMs.findIndex((time, i) => i >= from && time >= endMs);
    const to = found === -1 ? timeMs.length : found;
    if (to > from) {
      const cut = <Column extends Float64Array | Uint8Array>(column: Column): Column =>
        column.subarray(from, to) as Column;
      const part = {
        series,
        timeMs: cut(timeMs),
        value: cut(value),
        status: cut(status),
        reason: cut(reason),
      };
      yield { definition, columns: part };
    }
    from = to;
  }
}

function unknownName(got: string): StoreFault {
  const expected = 'the name of a series in the catalogue';
  return new StoreFault('REQUEST_UNKNOWN', {
    subject: 'series',
    got,
    expected,
    remedy: 'nothing is exported',
  });
}
