import type {
  RangeRequest,
  RawColumns,
  SampleAt,
  SeriesId,
  ThinnedColumns,
  ThinnedRequest,
} from '../../ports/sample-store.ts';
import { samplesBetween, samplesSlice } from '../samples.ts';
import { StoreFault } from '../store-fault.ts';
import { DAY_MS, dayOf, LATEST_TIME_MS } from './blocks.ts';
import { bucketEdges, type BucketPlan } from './bucket-edges.ts';
import type { Catalogue } from './catalogue.ts';
import type { Pending } from './pending.ts';
import type { RollupTable } from './rollup-table.ts';
import { segmentRules } from './segment-rule.ts';
import type { SeriesReader } from './series-reader.ts';
import { newThinner, type Thinner } from './thinner.ts';

export interface Memory {
  readonly catalogue: Catalogue;
  readonly reader: SeriesReader;
  readonly rollups: RollupTable;
  readonly pending: Pending;
}

/** Most samples of one piece of a raw answer: about a megabyte. */
const MOST_IN_PIECE = 65_536;
const MOST_BUCKETS = 20_000;

/** Yields null where it may rest for a while, so that a commit need not wait for a long answer. */
export function* rawPieces(memory: Memory, request: RangeRequest): Generator<RawColumns | null> {
  expectRange(memory, request);
  for (const series of request.series) {
    for (const samples of memory.reader.pieces(
      series,
      Math.max(0, request.fromMs),
      Math.min(request.toMs, LATEST_TIME_MS),
    )) {
      for (let at = 0; at < samples.timeMs.length; at += MOST_IN_PIECE) {
        const piece = samplesSlice(samples, at, at + MOST_IN_PIECE);
        // Copied: views share their buffer with what the store still needs, and the buffer goes to the caller.
        yield {
          series,
          timeMs: piece.timeMs.slice(),
          value: piece.value.slice(),
          status: piece.status.slice(),
          reason: piece.reason.slice(),
        };
      }
    }
    yield null;
  }
}

export function* thinnedPieces(memory: Memory, request: ThinnedRequest): Generator<ThinnedColumns | null> {
  expectRange(memory, request);
  expectBuckets(request.buckets);
  const plan = bucketEdges(request.fromMs, request.toMs, request.buckets);
  for (const series of request.series) yield* thinnedSeries(memory, series, plan);
}

function* thinnedSeries(
  memory: Memory,
  series: SeriesId,
  plan: BucketPlan,
): Generator<ThinnedColumns | null> {
  const thinner = newThinner(series, plan.edges, segmentRules(memory.catalogue.definitionsOf(series)));
  const fromMs = Math.max(0, plan.edges[0] ?? 0);
  const endMs = Math.min(plan.edges[plan.edges.length - 1] ?? 0, LATEST_TIME_MS);
  addNeighbour(thinner, memory.reader.newestUpTo(series, fromMs - 1));
  yield* addRange(memory, thinner, { series, fromMs, toMs: endMs, rollupMs: plan.rollupMs });
  addNeighbour(thinner, memory.reader.oldestFrom(series, endMs));
  yield thinner.finish();
}

interface RangeToAdd {
  readonly series: SeriesId;
  readonly fromMs: number;
  readonly toMs: number;
  readonly rollupMs: BucketPlan['rollupMs'];
}

/** Day by day: from the day's rollup where there is one and nothing newer waits, else from its samples. */
export function* addRange(memory: Memory, thinner: Thinner, range: RangeToAdd): Generator<null> {
  const { series, fromMs, toMs, rollupMs } = range;
  if (rollupMs === null) {
    for (const samples of memory.reader.pieces(series, fromMs, toMs)) {
      thinner.addSamples(samples);
      yield null;
    }
    return;
  }
  for (let day = dayOf(fromMs); day * DAY_MS < toMs; day++) {
    const part = { fromMs: Math.max(fromMs, day * DAY_MS), toMs: Math.min(toMs, (day + 1) * DAY_MS) };
    const waiting = samplesBetween(memory.pending.of(series), day * DAY_MS, (day + 1) * DAY_MS);
    const entries = waiting.timeMs.length > 0 ? null : memory.rollups.read(series, day, rollupMs);
    if (entries !== null) thinner.addEntries(entries, part);
    else
      for (const samples of memory.reader.pieces(series, part.fromMs, part.toMs)) thinner.addSamples(samples);
    yield null;
  }
}

export function valuesAt(memory: Memory, series: readonly SeriesId[], timeMs: number): readonly SampleAt[] {
  expectSeries(memory, series);
  const newest = Math.min(Math.floor(timeMs), LATEST_TIME_MS - 1);
  return series.flatMap((id) => {
    const row = newest < 0 ? null : memory.reader.newestUpTo(id, newest);
    if (row === null) return [];
    const [time, value, status, reason] = [row.timeMs[0], row.value[0], row.status[0], row.reason[0]];
    return [{ series: id, timeMs: time ?? 0, value: value ?? NaN, status: status ?? 0, reason: reason ?? 0 }];
  });
}

export function addNeighbour(thinner: Thinner, row: Parameters<Thinner['addSamples']>[0] | null): void {
  if (row !== null) thinner.addSamples(row);
}

export function expectRange(memory: Memory, request: RangeRequest): void {
  expectSeries(memory, request.series);
  if (request.fromMs < request.toMs && Number.isFinite(request.fromMs) && Number.isFinite(request.toMs))
    return;
  const got = `${request.fromMs} to ${request.toMs}`;
  throw new StoreFault('REQUEST_INVALID', {
    subject: 'range [ms]',
    got,
    expected: 'a start before its end',
    remedy: 'nothing is answered',
  });
}

function expectSeries(memory: Memory, series: readonly SeriesId[]): void {
  const wrong = series.find((id) => memory.catalogue.definitionsOf(id).length === 0);
  if (wrong === undefined) return;
  const expected = 'an id from the catalogue';
  throw new StoreFault('REQUEST_UNKNOWN', {
    subject: 'series',
    got: wrong,
    expected,
    remedy: 'nothing is answered',
  });
}

function expectBuckets(buckets: number): void {
  if (Number.isInteger(buckets) && buckets >= 1 && buckets <= MOST_BUCKETS) return;
  const expected = `a whole number from 1 to ${MOST_BUCKETS}`;
  throw new StoreFault('REQUEST_INVALID', {
    subject: 'buckets',
    got: buckets,
    expected,
    remedy: 'nothing is answered',
  });
}
