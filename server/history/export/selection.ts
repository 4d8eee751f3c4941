import type { ExportRequest } from '../../ports/history-export.ts';
import type { RawColumns, SampleStore, StoredSeries } from '../../ports/sample-store.ts';
import { StoreFault } from '../store-fault.ts';
import type { ExportPiece } from './piece-writer.ts';

/** One series of an export with every definition it ever had, the oldest first. */
export interface SelectedSeries {
  readonly definitions: readonly [StoredSeries, ...StoredSeries[]];
}

/** What a name that ends so stands for: every series whose name begins with what is before it. */
const ALL = '*';

/**
 * The series of these names, each once, in the order of the names.
 *
 * @throws StoreFault REQUEST_UNKNOWN for the first name that stands for none
 */
export function selectedSeries(
  catalogue: readonly StoredSeries[],
  names: readonly string[],
): readonly SelectedSeries[] {
  const byName = Map.groupBy(catalogue, ({ name }) => name);
  const asked = names.flatMap((name) => {
    const beginning = name.endsWith(ALL) ? name.slice(0, -ALL.length) : null;
    const found = [...byName.keys()].filter((known) =>
      beginning === null ? known === name : known.startsWith(beginning),
    );
    if (found.length === 0) throw unknownName(name);
    return found;
  });
  return [...new Set(asked)].map((name) => {
    const [first, ...rest] = byName.get(name) ?? [];
    if (first === undefined) throw unknownName(name);
    return { definitions: [first, ...rest] };
  });
}

/** The definitions in force somewhere in the range: their units belong into a header. */
export function definitionsWithin(
  selected: readonly SelectedSeries[],
  { fromMs, toMs }: Pick<ExportRequest, 'fromMs' | 'toMs'>,
): readonly StoredSeries[] {
  return selected.flatMap(({ definitions }) =>
    definitions.filter((d, i) => (i === 0 || d.validFromMs < toMs) && (d.validToMs ?? Infinity) > fromMs),
  );
}

export async function* exportPieces(
  store: SampleStore,
  { definitions }: SelectedSeries,
  range: Pick<ExportRequest, 'fromMs' | 'toMs'> & { readonly signal: AbortSignal },
): AsyncGenerator<ExportPiece> {
  const { fromMs, toMs, signal } = range;
  const request = { series: [definitions[0].series], fromMs, toMs };
  for await (const columns of store.raw(request, signal)) yield* byDefinition(columns, definitions);
}

function* byDefinition(
  { timeMs, value, status, reason }: RawColumns,
  definitions: readonly StoredSeries[],
): Generator<ExportPiece> {
  let from = 0;
  for (const { name, unit, validToMs } of definitions) {
    const endMs = validToMs ?? Infinity;
    const found = timeMs.findIndex((time, i) => i >= from && time >= endMs);
    const to = found === -1 ? timeMs.length : found;
    if (to > from) {
      // Copied, so that a piece can be handed to another thread without the rest of its memory.
      const columns = {
        timeMs: timeMs.slice(from, to),
        value: value.slice(from, to),
        status: status.slice(from, to),
        reason: reason.slice(from, to),
      };
      yield { name, unit, columns };
    }
    from = to;
  }
}

function unknownName(got: string): StoreFault {
  const expected = 'the name of a series in the catalogue, or the beginning of one and *';
  return new StoreFault('REQUEST_UNKNOWN', {
    subject: 'series',
    got,
    expected,
    remedy: 'nothing is exported',
  });
}
