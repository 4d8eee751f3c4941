import type {
  RangeRequest,
  RawColumns,
  SampleBatch,
  SampleStore,
  SeriesDefinition,
  SeriesId,
  StoredSeries,
  ThinnedColumns,
  ThinnedRequest,
  WindowTotals,
} from '#server/ports/sample-store.ts';
import { naiveBucket, naiveIntegral, type PlainSample, type Rule } from './naive-buckets.ts';

const HOUR_MS = 3_600_000;

/** The history without a file or a thread; what the suite in tests/stores says holds for it too. */
export function memorySampleStore(): SampleStore {
  const definitions = new Map<SeriesId, StoredSeries[]>();
  const samples = new Map<SeriesId, Map<number, PlainSample>>();
  const taken = new Map<string, Set<number>>();

  function definitionsOf(series: SeriesId): StoredSeries[] {
    const known = definitions.get(series);
    if (known === undefined) throw unknownSeries(series);
    return known;
  }

  function idOf(name: string): SeriesId | undefined {
    return [...definitions].find(([, all]) => all[0]?.name === name)?.[0];
  }

  function register(definition: SeriesDefinition, fromMs: number): readonly [string, SeriesId] {
    const series = idOf(definition.name) ?? definitions.size + 1;
    const before = definitions.get(series) ?? [];
    const current = before.at(-1);
    if (current !== undefined && isSame(current, definition)) return [definition.name, series];
    const validFromMs = current === undefined ? fromMs : Math.max(fromMs, current.validFromMs + 1);
    const closed = before.map((old) => (old === current ? { ...old, validToMs: validFromMs } : old));
    definitions.set(series, [...closed, { ...definition, series, validFromMs, validToMs: null }]);
    return [definition.name, series];
  }

  function definitionAt(series: SeriesId, timeMs: number): StoredSeries {
    const all = definitionsOf(series);
    const found = all.findLast(({ validFromMs }) => timeMs >= validFromMs) ?? all[0];
    if (found === undefined) throw unknownSeries(series);
    return found;
  }

  function take(batch: SampleBatch): void {
    for (const series of batch.series) definitionsOf(series);
    const sequences = taken.get(batch.writer) ?? new Set();
    if (sequences.has(batch.sequence)) return;
    taken.set(batch.writer, sequences.add(batch.sequence));
    for (const [i, series] of batch.series.entries()) {
      const timeMs = Math.round(batch.timeMs[i] ?? NaN);
      const value = rounded(batch.value[i] ?? NaN, definitionAt(series, timeMs).resolution);
      const ofSeries = samples.get(series) ?? new Map<number, PlainSample>();
      ofSeries.set(timeMs, { timeMs, value, status: batch.status[i] ?? 0, reason: batch.reason[i] ?? 0 });
      samples.set(series, ofSeries);
    }
  }

  function ordered(series: SeriesId): readonly PlainSample[] {
    definitionsOf(series);
    return [...(samples.get(series)?.values() ?? [])].sort((a, b) => a.timeMs - b.timeMs);
  }

  function ruleOf(series: SeriesId): (timeMs: number) => Rule {
    return (timeMs) => {
      const { interpolation, heldMs, validToMs } = definitionAt(series, timeMs);
      return { interpolation, heldMs, endsMs: validToMs ?? Infinity };
    };
  }

  function total(series: SeriesId, request: RangeRequest): WindowTotals {
    const { integral, coveredMs } = naiveIntegral(ordered(series), ruleOf(series), request);
    const isStep = definitionAt(series, request.toMs - 1).interpolation === 'step';
    const states = [...new Set(ordered(series).map(({ value }) => value))].filter(Number.isFinite);
    const timeInState = states
      .sort((a, b) => a - b)
      .flatMap((value) => {
        const asOthersUnknown = ordered(series).map((s) => (s.value === value ? s : { ...s, status: 2 }));
        const spentMs = naiveIntegral(asOthersUnknown, ruleOf(series), request).coveredMs;
        return spentMs > 0 ? [{ value, spentMs }] : [];
      });
    const integralUnitH = coveredMs > 0 ? integral / HOUR_MS : NaN;
    return { series, integralUnitH, coveredMs, timeInState: isStep ? timeInState : [] };
  }

  return {
    register: (list, fromMs) => soon(() => new Map(list.map((definition) => register(definition, fromMs)))),
    rename: (from, to) =>
      soon(() => {
        const series = idOf(from);
        if (series === undefined) throw new Error(`REQUEST_UNKNOWN series: got ${from}`);
        if (idOf(to) !== undefined) throw new Error(`REQUEST_INVALID new name: got ${to}`);
        definitions.set(
          series,
          definitionsOf(series).map((definition) => ({ ...definition, name: to })),
        );
      }),
    catalogue: () => soon(() => [...definitions.values()].flat()),
    append: (batch) => soon(() => take(structuredClone(batch))),
    lastSequence: (writer) => soon(() => Math.max(-1, ...(taken.get(writer) ?? []))),
    valuesAt: (list, timeMs) =>
      soon(() =>
        list.flatMap((series) => {
          const found = ordered(series).findLast((sample) => sample.timeMs <= timeMs);
          return found === undefined ? [] : [{ series, ...found }];
        }),
      ),
    totals: (request, signal) => soon(() => request.series.map((series) => total(series, request)), signal),
    async *raw(request, signal) {
      for (const series of request.series) {
        const found = await soon(() => ordered(series).filter((sample) => isWithin(sample, request)), signal);
        if (found.length > 0) yield rawColumns(series, found);
      }
    },
    async *thinned(request, signal) {
      for (const series of request.series) {
        yield await soon(
          () => thinnedColumns(series, ordered(series), { request, rule: ruleOf(series) }),
          signal,
        );
      }
    },
    close: () => Promise.resolve(),
  };
}

async function soon<T>(work: () => T, signal?: AbortSignal): Promise<T> {
  await Promise.resolve();
  signal?.throwIfAborted();
  return work();
}

function isWithin({ timeMs }: PlainSample, { fromMs, toMs }: RangeRequest): boolean {
  return timeMs >= fromMs && timeMs < toMs;
}

function rawColumns(series: SeriesId, samples: readonly PlainSample[]): RawColumns {
  return {
    series,
    timeMs: Float64Array.from(samples, ({ timeMs }) => timeMs),
    value: Float64Array.from(samples, ({ value }) => value),
    status: Uint8Array.from(samples, ({ status }) => status),
    reason: Uint8Array.from(samples, ({ reason }) => reason),
  };
}

function thinnedColumns(
  series: SeriesId,
  samples: readonly PlainSample[],
  { request, rule }: { readonly request: ThinnedRequest; readonly rule: (timeMs: number) => Rule },
): ThinnedColumns {
  const { fromMs, toMs, buckets } = request;
  const edge = (i: number): number => fromMs + Math.round((i * (toMs - fromMs)) / buckets);
  const all = Array.from({ length: buckets }, (_, i) =>
    naiveBucket(samples, rule, { fromMs: edge(i), toMs: edge(i + 1) }),
  );
  return {
    series,
    endMs: toMs,
    timeMs: Float64Array.from(all, ({ timeMs }) => timeMs),
    first: Float64Array.from(all, ({ first }) => first),
    last: Float64Array.from(all, ({ last }) => last),
    min: Float64Array.from(all, ({ min }) => min),
    max: Float64Array.from(all, ({ max }) => max),
    mean: Float64Array.from(all, ({ mean }) => mean),
    count: Uint32Array.from(all, ({ count }) => count),
    coveredRatio: Float64Array.from(all, ({ coveredRatio }) => coveredRatio),
    uncertainRatio: Float64Array.from(all, ({ uncertainRatio }) => uncertainRatio),
  };
}

function isSame(a: SeriesDefinition, b: SeriesDefinition): boolean {
  const keys = ['kind', 'unit', 'interpolation', 'resolution', 'heldMs'] as const;
  return keys.every((key) => a[key] === b[key]);
}

/** By way of decimal text: not how the store does it. */
function rounded(value: number, resolution: number): number {
  if (resolution === 0 || Number.isNaN(value)) return value;
  const decimals = Math.max(0, Math.ceil(-Math.log10(resolution) - 1e-9)) + 2;
  return Number((Math.round(value / resolution) * resolution).toFixed(decimals)) + 0;
}

function unknownSeries(series: SeriesId): Error {
  return new Error(`REQUEST_UNKNOWN series: got ${series}, expected an id that \`register\` gave`);
}
