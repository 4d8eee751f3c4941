import * as library from 'node-opcua';
import { describe, expect, it } from 'vitest';
import type { Reading } from '#server/contract/reading.ts';
import { fillStretches, tagsWithHistory, type BackfillPlan } from '#server/field/backfill.ts';
import type { Stretch } from '#server/field/missed-stretches.ts';
import type { PlantSession } from '#server/field/plant-session.ts';
import type { LinkGap } from '#server/ports/tag-source.ts';

const STALE_MS = 5000;

interface Historian {
  /** Source times that it keeps of each node, as the server would answer them. */
  readonly timesMs: Readonly<Record<string, readonly number[]>>;
  readonly valuesInPage: number;
  /** Gives the first page again and again. */
  readonly isStuck?: boolean;
  readonly refuses?: string;
}

/** A plant that only has a history, and gives it in pages as OPC UA Part 11, 6.4 says. */
function historianSession(historian: Historian): { session: PlantSession; calls: number[] } {
  const calls: number[] = [];
  const historyRead = (request: library.HistoryReadRequest) => {
    const nodes = request.nodesToRead ?? [];
    calls.push(nodes.length);
    const { startTime, endTime } = request.historyReadDetails as library.ReadRawModifiedDetails;
    const results = nodes.map(({ nodeId, continuationPoint }) => {
      const id = String(nodeId.value);
      if (historian.refuses === id) {
        return new library.HistoryReadResult({
          statusCode: library.StatusCodes.BadHistoryOperationUnsupported,
        });
      }
      const all = (historian.timesMs[id] ?? []).filter(
        (timeMs) => timeMs >= (startTime?.getTime() ?? 0) && timeMs < (endTime?.getTime() ?? 0),
      );
      const from = placeIn(continuationPoint);
      const page = all.slice(
        historian.isStuck ? 0 : from,
        (historian.isStuck ? 0 : from) + historian.valuesInPage,
      );
      const isMore = from + page.length < all.length;
      return new library.HistoryReadResult({
        statusCode: library.StatusCodes.Good,
        historyData: new library.HistoryData({ dataValues: page.map(dataValue) }),
        ...(isMore ? { continuationPoint: Buffer.from(String(from + page.length)) } : {}),
      });
    });
    return Promise.resolve(new library.HistoryReadResponse({ results }));
  };
  return { session: { historyRead } as unknown as PlantSession, calls };
}

function placeIn(continuationPoint: Buffer | null): number {
  return continuationPoint === null ? 0 : Number(continuationPoint.toString());
}

function dataValue(timeMs: number): library.DataValue {
  return new library.DataValue({
    value: { dataType: library.DataType.Double, value: timeMs / 1000 },
    sourceTimestamp: new Date(timeMs),
  });
}

interface Filled {
  readonly backfilled: Reading[];
  readonly gaps: LinkGap[];
  readonly refusals: string[];
  readonly finished: Stretch[];
  readonly calls: readonly number[];
}

async function filled(
  historian: Historian,
  stretches: readonly Stretch[],
  { oldestMs = 0, witnesses = 0 } = {},
): Promise<Filled> {
  const { session, calls } = historianSession(historian);
  const refusals = new Map<number, string>();
  const result: Filled = { backfilled: [], gaps: [], refusals: [], finished: [], calls };
  const tags = ['a', 'b', 'c', 'd', 'e', 'f', 'g'].map((tag) => ({
    tag,
    endpoint: 'plant',
    node: tag,
    staleAfterMs: STALE_MS,
    factor: null,
  }));
  const plan: BackfillPlan = {
    library,
    session,
    endpoint: 'plant',
    tags,
    nodeIds: tags.map(({ tag }) => `ns=2;s=${tag}`),
    nodesPerRead: Infinity,
    nodesPerHistoryRead: Infinity,
    oldestMs,
    nowMs: () => 99_000,
    progressOf: new Map(),
    recorded: { spans: [] },
    refusals,
    isInterrupted: () => false,
    backfill: (batch) => void result.backfilled.push(...batch),
    gap: (gap) => void result.gaps.push(gap),
  };
  await fillStretches(
    plan,
    [stretches.slice(0, witnesses), stretches.slice(witnesses)],
    (done) => void result.finished.push(...done),
  );
  for (const [index, why] of refusals) result.refusals.push(`${tags[index]?.tag}: ${why}`);
  return result;
}

const seconds = (from: number, to: number) =>
  Array.from({ length: to - from + 1 }, (_, at) => (from + at) * 1000);
const stretch = (given: Partial<Stretch>): Stretch => ({
  index: 0,
  fromMs: 10_000,
  toMs: 30_000,
  before: { value: 1, quality: 'good' },
  lostMs: null,
  isHeld: false,
  ...given,
});

describe('fillStretches', () => {
  it('gives back what lies between the two ends, without the ends, over as many pages as it takes', async () => {
    const { backfilled, gaps, calls } = await filled({ timesMs: { a: seconds(1, 60) }, valuesInPage: 4 }, [
      stretch({}),
    ]);
    expect(backfilled.map(({ sourceTimeMs }) => sourceTimeMs)).toEqual(seconds(11, 29));
    expect(backfilled[0]).toEqual({
      tag: 'a',
      sourceTimeMs: 11_000,
      arrivalMs: 99_000,
      value: 11,
      quality: 'good',
    });
    expect(gaps).toEqual([]);
    expect(calls.length).toBeGreaterThan(4);
  });

  it('drops a source time that comes twice, also over the edge of a page', async () => {
    const timesMs = { a: [11_000, 12_000, 12_000, 12_000, 13_000, 13_000, 17_000, 21_000, 25_000, 29_000] };
    const { backfilled } = await filled({ timesMs, valuesInPage: 3 }, [stretch({})]);
    expect(backfilled.map(({ sourceTimeMs }) => sourceTimeMs)).toEqual([
      11_000, 12_000, 13_000, 17_000, 21_000, 25_000, 29_000,
    ]);
  });

  it('sorts a page that a server gives backwards', async () => {
    const timesMs = { a: seconds(11, 29).reverse() };
    const { backfilled } = await filled({ timesMs, valuesInPage: 100 }, [stretch({})]);
    expect(backfilled.map(({ sourceTimeMs }) => sourceTimeMs)).toEqual(seconds(11, 29));
  });

  it('marks what the history does not know', async () => {
    const timesMs = { a: [...seconds(11, 15), ...seconds(24, 29)] };
    const { gaps } = await filled({ timesMs, valuesInPage: 100 }, [stretch({})]);
    expect(gaps).toEqual([{ endpoint: 'plant', tags: ['a'], fromMs: 15_000, toMs: 24_000 }]);
  });

  it('puts tags that miss the same into one gap', async () => {
    const { gaps } = await filled({ timesMs: {}, valuesInPage: 100 }, [
      stretch({ index: 0 }),
      stretch({ index: 1 }),
    ]);
    expect(gaps).toEqual([{ endpoint: 'plant', tags: ['a', 'b'], fromMs: 10_000, toMs: 30_000 }]);
  });

  it('asks for nothing older than allowed, and marks what lies before', async () => {
    const { backfilled, gaps } = await filled(
      { timesMs: { a: seconds(1, 60) }, valuesInPage: 100 },
      [stretch({})],
      { oldestMs: 20_000 },
    );
    expect(backfilled.map(({ sourceTimeMs }) => sourceTimeMs)).toEqual(seconds(20, 29));
    expect(gaps).toEqual([{ endpoint: 'plant', tags: ['a'], fromMs: 10_000, toMs: 20_000 }]);
  });

  it('takes the whole allowed past of a tag of which nothing was ever kept, and marks nothing', async () => {
    const first = stretch({ fromMs: -Infinity });
    const { backfilled, gaps } = await filled(
      { timesMs: { a: seconds(1, 60) }, valuesInPage: 100 },
      [first],
      { oldestMs: 5000 },
    );
    expect(backfilled.map(({ sourceTimeMs }) => sourceTimeMs)).toEqual(seconds(5, 29));
    expect(gaps).toEqual([]);
  });

  it('tells a value again that stood still while the historian was at work, and marks nothing', async () => {
    const timesMs = { a: seconds(1, 60), b: [17_500] };
    const both = [stretch({ index: 0 }), stretch({ index: 1 })];
    const { backfilled, gaps } = await filled({ timesMs, valuesInPage: 100 }, both, { witnesses: 1 });
    const b = backfilled.filter(({ tag }) => tag === 'b');
    expect(b.map(({ sourceTimeMs, value }) => [sourceTimeMs, value])).toEqual([
      [14_000, 1],
      [17_500, 17.5],
      [21_500, 17.5],
      [25_500, 17.5],
      [29_500, 17.5],
    ]);
    expect(gaps).toEqual([]);
  });

  it('tells it again only until the historian fell silent, and marks the rest up to its next value', async () => {
    const timesMs = { a: [...seconds(11, 15), ...seconds(24, 29)], b: [28_000] };
    const both = [stretch({ index: 0 }), stretch({ index: 1 })];
    const { backfilled, gaps } = await filled({ timesMs, valuesInPage: 100 }, both, { witnesses: 1 });
    const b = backfilled.filter(({ tag }) => tag === 'b');
    expect(b.map(({ sourceTimeMs, value }) => [sourceTimeMs, value])).toEqual([
      [14_000, 1],
      [28_000, 28],
    ]);
    expect(gaps).toContainEqual({ endpoint: 'plant', tags: ['b'], fromMs: 15_000, toMs: 28_000 });
  });

  it('marks a value as unknown that nobody knows how it stood, though the historian was at work', async () => {
    const timesMs = { a: seconds(1, 60), b: [] };
    const both = [stretch({ index: 0 }), stretch({ index: 1, before: null })];
    const { gaps } = await filled({ timesMs, valuesInPage: 100 }, both, { witnesses: 1 });
    expect(gaps).toEqual([{ endpoint: 'plant', tags: ['b'], fromMs: 10_000, toMs: 30_000 }]);
  });

  it('marks even a short stretch of which the historian knows nothing, unless the value stood still', async () => {
    const short = { fromMs: 10_000, toMs: 12_000 };
    const moved = await filled({ timesMs: {}, valuesInPage: 100 }, [stretch(short)]);
    expect(moved.gaps).toHaveLength(1);
    const stood = await filled({ timesMs: {}, valuesInPage: 100 }, [stretch({ ...short, isHeld: true })]);
    expect(stood.gaps).toEqual([]);
  });

  it('says which tag is refused, marks its stretch and fills the others', async () => {
    const both = [stretch({ index: 0 }), stretch({ index: 1 })];
    const historian = { timesMs: { b: seconds(1, 60) }, valuesInPage: 100, refuses: 'a' };
    const { backfilled, gaps, refusals } = await filled(historian, both);
    expect(refusals).toEqual(['a: BadHistoryOperationUnsupported']);
    expect(gaps).toEqual([{ endpoint: 'plant', tags: ['a'], fromMs: 10_000, toMs: 30_000 }]);
    expect(new Set(backfilled.map(({ tag }) => tag))).toEqual(new Set(['b']));
  });

  it('ends with a server that gives the same page for ever', async () => {
    const historian = { timesMs: { a: seconds(1, 60) }, valuesInPage: 3, isStuck: true };
    const { backfilled, refusals, calls } = await filled(historian, [stretch({})]);
    expect(refusals).toEqual(['a: the same page twice']);
    expect(backfilled).toHaveLength(2);
    expect(calls).toHaveLength(2);
  });

  it('asks for five nodes at a time and finishes every stretch', async () => {
    const seven = Array.from({ length: 7 }, (_, index) => stretch({ index }));
    const { calls, finished } = await filled({ timesMs: {}, valuesInPage: 100 }, seven);
    expect(calls).toEqual([5, 2]);
    expect(finished).toEqual(seven);
  });

  it('does not ask together for stretches that lie hours apart', async () => {
    const hourMs = 3_600_000;
    const far = stretch({ index: 1, fromMs: 10_000 + hourMs, toMs: 30_000 + hourMs });
    const { calls } = await filled({ timesMs: {}, valuesInPage: 100 }, [stretch({}), far]);
    expect(calls).toEqual([1, 1]);
  });
});

describe('tagsWithHistory', () => {
  it('has the tags whose access level has the HistoryRead bit, 4 per OPC UA Part 3, 8.57', async () => {
    const levels = [1, 5, 4, 0, null];
    const read = (nodes: readonly unknown[]) =>
      Promise.resolve(
        levels
          .slice(0, nodes.length)
          .map((level) => ({ value: { dataType: 3, arrayType: 0, value: level } })),
      );
    const nodeIds = ['i=1', 'i=2', 'i=3', 'i=4', 'i=5', null];
    const session = { read } as unknown as PlantSession;
    expect([...(await tagsWithHistory({ session, nodeIds, nodesPerRead: Infinity }))]).toEqual([1, 2]);
  });
});
