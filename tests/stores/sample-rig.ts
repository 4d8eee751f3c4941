import { afterEach, beforeEach, expect } from 'vitest';
import type { RawColumns, SampleStore, SeriesId, ThinnedColumns } from '#server/ports/sample-store.ts';
import { flow, running, START_MS } from '../support/sample-builders.ts';

export const MINUTE_MS = 60_000;
export const never = new AbortController().signal;

export interface StoreMakers {
  /** An empty store. */
  readonly open: () => Promise<SampleStore>;
  /** The same again after it was closed; null where there is nothing to come back to. */
  readonly reopen: (() => Promise<SampleStore>) | null;
}

/** A fresh store for each test, with a linear and a step series. */
export interface SampleRig {
  store: SampleStore;
  scale: SeriesId;
  contact: SeriesId;
  rawOf(series: SeriesId, fromMs?: number, toMs?: number): Promise<Plain>;
  /** From `START_MS` on. */
  thinnedOf(series: SeriesId, toMs: number, buckets: number): Promise<ThinnedColumns>;
}

export function sampleRig(open: StoreMakers['open']): SampleRig {
  const rig: SampleRig = {
    // Opened before each test.
    store: undefined as unknown as SampleStore,
    scale: -1,
    contact: -1,
    async rawOf(series, fromMs = START_MS, toMs = START_MS + 60 * MINUTE_MS) {
      return joined(await collected(rig.store.raw({ series: [series], fromMs, toMs }, never)));
    },
    async thinnedOf(series, toMs, buckets) {
      const request = { series: [series], fromMs: START_MS, toMs, buckets };
      const [only, ...more] = await collected(rig.store.thinned(request, never));
      expect(more).toEqual([]);
      if (only === undefined) throw new Error('no answer');
      return only;
    },
  };
  beforeEach(async () => {
    rig.store = await open();
    Object.assign(rig, await registeredIds(rig.store));
  });
  afterEach(() => rig.store.close());
  return rig;
}

export async function registeredIds(
  store: SampleStore,
): Promise<{ readonly scale: SeriesId; readonly contact: SeriesId }> {
  const ids = await store.register([flow, running], 0);
  return { scale: ids.get(flow.name) ?? -1, contact: ids.get(running.name) ?? -1 };
}

export interface Plain {
  readonly timeMs: readonly number[];
  readonly value: readonly number[];
  readonly status: readonly number[];
  readonly reason: readonly number[];
}

function joined(pieces: readonly RawColumns[]): Plain {
  return {
    timeMs: pieces.flatMap(({ timeMs }) => [...timeMs]),
    value: pieces.flatMap(({ value }) => [...value]),
    status: pieces.flatMap(({ status }) => [...status]),
    reason: pieces.flatMap(({ reason }) => [...reason]),
  };
}

export async function collected<T>(pieces: AsyncIterable<T>): Promise<T[]> {
  const all: T[] = [];
  for await (const piece of pieces) all.push(piece);
  return all;
}
