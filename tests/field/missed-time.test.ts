import * as library from 'node-opcua';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Reading } from '#server/contract/reading.ts';
import { MissedTime } from '#server/field/missed-time.ts';
import type { OpenedConnection } from '#server/field/plant-connection.ts';
import type { PlantSession } from '#server/field/plant-session.ts';
import { ReadingIntake } from '#server/field/reading-intake.ts';
import type { LinkGap } from '#server/ports/tag-source.ts';

const TAGS = ['a', 'b'].map((tag) => ({
  tag,
  endpoint: 'plant',
  node: 'i=1',
  staleAfterMs: 5000,
  factor: null,
}));

beforeEach(() => {
  vi.useFakeTimers({ now: 1_000_000 });
});
afterEach(() => {
  vi.useRealTimers();
});

/** A plant whose history has a value every second, of `a` only, in pages of ten, and that may stop answering. */
function rig(): {
  missed: MissedTime;
  intake: ReadingIntake;
  plant: { answersLeft: number; hangs: boolean };
  backfilled: number[];
  gaps: LinkGap[];
  reports: string[];
  connect: () => void;
  play: (forMs: number) => Promise<void>;
} {
  const plant = { answersLeft: Infinity, hangs: false };
  const backfilled: number[] = [];
  const gaps: LinkGap[] = [];
  const reports: string[] = [];
  const sink = {
    readings: () => undefined,
    backfill: (batch: readonly Reading[]) =>
      void backfilled.push(...batch.map((reading) => reading.sourceTimeMs)),
    link: () => undefined,
    gap: (gap: LinkGap) => void gaps.push(gap),
  };
  const intake = new ReadingIntake(TAGS, sink, { nowMs: () => Date.now(), every: () => () => undefined });
  const missed = new MissedTime({
    endpoint: {
      id: 'plant',
      url: '',
      publishingIntervalMs: 100,
      samplingIntervalMs: 50,
      backfillMsMax: 600_000,
    },
    intake,
    sink,
    nowMs: () => Date.now(),
    recordedUntilMs: () => Date.now() - 60_000,
    report: (code, parts) => void reports.push(`${code} ${parts.got}: ${parts.remedy}`),
  });
  const session = {
    read: () =>
      Promise.resolve([5, 1].map((level) => ({ value: { dataType: 3, arrayType: 0, value: level } }))),
    historyRead: (request: library.HistoryReadRequest) => {
      if (plant.hangs) return new Promise(() => undefined);
      if (plant.answersLeft-- <= 0) return Promise.reject(new Error('BadTimeout'));
      return Promise.resolve(answer(request));
    },
  } as unknown as PlantSession;
  const opened: OpenedConnection = {
    session,
    facts: { namespaces: [], nodesPerRead: Infinity, itemsPerCall: Infinity, nodesPerHistoryRead: Infinity },
    nodeIds: ['ns=2;s=a', 'ns=2;s=b'],
    granted: [],
    publishingIntervalMs: 100,
    silentMsMax: 2500,
    askAgain: () => Promise.resolve(),
  };
  return {
    missed,
    intake,
    plant,
    backfilled,
    gaps,
    reports,
    connect() {
      intake.begin();
      missed.begin();
      missed.opened(library, opened);
      for (const index of [0, 1]) intake.changed(index, dataValue(Date.now()));
    },
    async play(forMs) {
      for (let passedMs = 0; passedMs < forMs; passedMs += 100) {
        missed.tick();
        await vi.advanceTimersByTimeAsync(100);
      }
    },
  };
}

function answer(request: library.HistoryReadRequest): library.HistoryReadResponse {
  const { startTime, endTime } = request.historyReadDetails as library.ReadRawModifiedDetails;
  const point = request.nodesToRead?.[0]?.continuationPoint ?? null;
  const fromMs = point === null ? (startTime?.getTime() ?? 0) : Number(point.toString());
  const firstMs = Math.ceil(fromMs / 1000) * 1000;
  const endMs = endTime?.getTime() ?? 0;
  const times = Array.from({ length: 10 }, (_, at) => firstMs + at * 1000).filter((timeMs) => timeMs < endMs);
  const nextMs = firstMs + 10_000;
  const result = new library.HistoryReadResult({
    statusCode: library.StatusCodes.Good,
    historyData: new library.HistoryData({ dataValues: times.map(dataValue) }),
    ...(nextMs < endMs ? { continuationPoint: Buffer.from(String(nextMs)) } : {}),
  });
  return new library.HistoryReadResponse({ results: [result] });
}

function dataValue(timeMs: number): library.DataValue {
  const time = new Date(timeMs);
  const value = { dataType: library.DataType.Double, value: timeMs };
  return new library.DataValue({ value, sourceTimestamp: time, serverTimestamp: time });
}

const everySecond = (fromMs: number, count: number) =>
  Array.from({ length: count }, (_, at) => fromMs + at * 1000);

describe('MissedTime', () => {
  it('asks for nothing before the live readings had time to come', async () => {
    const { connect, play, backfilled } = rig();
    connect();
    await play(600);
    expect(backfilled).toEqual([]);
    await play(500);
    expect(backfilled.length).toBeGreaterThan(0);
  });

  it('fills what was missed of a tag with history and marks it of one without', async () => {
    const { connect, play, backfilled, gaps, reports } = rig();
    connect();
    await play(2000);
    expect(backfilled).toEqual(everySecond(941_000, 59));
    expect(gaps).toEqual([{ endpoint: 'plant', tags: ['b'], fromMs: 940_000, toMs: 1_000_000 }]);
    expect(reports).toEqual([]);
  });

  it('goes on where it was interrupted, without giving anything twice', async () => {
    const { connect, play, plant, backfilled, gaps, reports } = rig();
    plant.answersLeft = 2;
    connect();
    await play(2000);
    expect(backfilled).toEqual(everySecond(941_000, 19));
    expect(reports).toEqual(['BACKFILL_REFUSED BadTimeout: it is asked again']);
    plant.answersLeft = Infinity;
    await play(6000);
    expect(backfilled).toEqual(everySecond(941_000, 59));
    expect(gaps.map(({ tags }) => tags)).toEqual([['b']]);
  });

  it('goes on after a break of the link although the last question never gets an answer', async () => {
    const { connect, play, plant, missed, backfilled } = rig();
    plant.hangs = true;
    connect();
    await play(2000);
    missed.lost(Date.now());
    plant.hangs = false;
    connect();
    await play(8000);
    expect(backfilled.slice(0, 59)).toEqual(everySecond(941_000, 59));
    expect(new Set(backfilled).size).toBe(backfilled.length);
  });

  it('gives up after three attempts without any answer, and marks what was missed', async () => {
    const { connect, play, plant, backfilled, gaps, reports } = rig();
    plant.answersLeft = 0;
    connect();
    await play(20_000);
    expect(backfilled).toEqual([]);
    expect(reports).toHaveLength(3);
    expect(reports.at(-1)).toBe('BACKFILL_REFUSED BadTimeout: what was missed stays a gap');
    expect(gaps.map(({ tags, fromMs, toMs }) => [tags, fromMs, toMs])).toEqual([
      [['b'], 940_000, 1_000_000],
      [['a'], 940_000, 1_000_000],
    ]);
  });

  it('marks the gap of a tag without history as soon as the link breaks', async () => {
    const { connect, play, missed, gaps } = rig();
    connect();
    await play(2000);
    missed.lost(1_001_500);
    expect(gaps.at(-1)).toEqual({ endpoint: 'plant', tags: ['b'], fromMs: 1_001_501, toMs: null });
  });
});
