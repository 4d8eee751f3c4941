import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { STORED_REASON, STORED_STATUS } from '#server/contract/stored-status.ts';
import type {
  RawColumns,
  SampleStore,
  SeriesDefinition,
  SeriesId,
  ThinnedColumns,
} from '#server/ports/sample-store.ts';
import { batchOf, flow, running, START_MS } from '../support/sample-builders.ts';

const MINUTE_MS = 60_000;
const never = new AbortController().signal;

/** What every sample store keeps to. `open` gives an empty one; `reopen` the same again after it was closed. */
export function sampleStoreSuite(
  name: string,
  makers: { readonly open: () => Promise<SampleStore>; readonly reopen: (() => Promise<SampleStore>) | null },
): void {
  describe(name, () => {
    let store: SampleStore;
    let scale: SeriesId;
    let contact: SeriesId;

    beforeEach(async () => {
      store = await makers.open();
      ({ scale, contact } = await registered(store));
    });
    afterEach(() => store.close());

    async function rawOf(
      series: SeriesId,
      fromMs = START_MS,
      toMs = START_MS + 60 * MINUTE_MS,
    ): Promise<Plain> {
      return joined(await collected(store.raw({ series: [series], fromMs, toMs }, never)));
    }
    async function thinnedOf(series: SeriesId, toMs: number, buckets: number): Promise<ThinnedColumns> {
      const [only, ...more] = await collected(
        store.thinned({ series: [series], fromMs: START_MS, toMs, buckets }, never),
      );
      expect(more).toEqual([]);
      if (only === undefined) throw new Error('no answer');
      return only;
    }

    describe('names', () => {
      it('keeps the id of a name that is known already', async () => {
        expect(await registered(store)).toEqual({ scale, contact });
        expect(scale).not.toBe(contact);
        expect(await store.catalogue()).toHaveLength(2);
      });

      it('opens a new validity interval when the unit changes, and leaves the past as it was', async () => {
        await store.append(batchOf(0, [[scale, 1000, 5.04]]));
        const coarse: SeriesDefinition = { ...flow, unit: 'kg', resolution: 10 };
        await store.register([coarse], START_MS + MINUTE_MS);
        await store.append(
          batchOf(1, [
            [scale, 2 * MINUTE_MS, 5.04],
            [scale, 2000, 5.06],
          ]),
        );
        expect((await rawOf(scale)).value).toEqual([5, 5.1, 10]);
        const intervals = (await store.catalogue()).filter(({ series }) => series === scale);
        expect(
          intervals.map(({ unit, validFromMs, validToMs }) => ({ unit, validFromMs, validToMs })),
        ).toEqual([
          { unit: 'kg/h', validFromMs: 0, validToMs: START_MS + MINUTE_MS },
          { unit: 'kg', validFromMs: START_MS + MINUTE_MS, validToMs: null },
        ]);
      });

      it('does not carry a value in the old unit past the change', async () => {
        await store.register([{ ...flow, unit: 'kg' }], START_MS + 10_000);
        await store.append(
          batchOf(0, [
            [scale, 8000, 3],
            [scale, 12_000, 700],
          ]),
        );
        const bucket = await thinnedOf(scale, START_MS + 20_000, 1);
        // By hand: 2 s of 3 up to the change, 8 s of 700 from 12 s on.
        expect(bucket.coveredRatio[0]).toBeCloseTo(0.5, 10);
        expect(bucket.mean[0]).toBeCloseTo((2 * 3 + 8 * 700) / 10, 10);
      });

      it('brings the past along when a series is renamed, and frees the old name', async () => {
        await store.append(batchOf(0, [[scale, 0, 1]]));
        await store.rename(flow.name, 'quillmarsh.scale.newName');
        const again = await store.register([flow, { ...flow, name: 'quillmarsh.scale.newName' }], 0);
        expect(again.get('quillmarsh.scale.newName')).toBe(scale);
        expect(again.get(flow.name)).not.toBe(scale);
        expect((await rawOf(scale)).value).toEqual([1]);
      });

      it('refuses to rename what is not there, or to a name that is taken', async () => {
        await expect(store.rename('nobody', 'x')).rejects.toThrow('REQUEST_UNKNOWN series: got nobody');
        await expect(store.rename(flow.name, running.name)).rejects.toThrow(
          `REQUEST_INVALID new name: got ${running.name}`,
        );
      });
    });

    describe('append', () => {
      it('gives back value, status, reason and time of each sample, also of those without a value', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 12.3],
            [scale, 1000, NaN, STORED_STATUS.bad, 3],
            [scale, 2000, NaN, STORED_STATUS.gap, STORED_REASON.linkDown],
            [scale, 3000, 12.4, STORED_STATUS.uncertain, STORED_REASON.late],
          ]),
        );
        expect(await rawOf(scale)).toEqual({
          timeMs: [0, 1000, 2000, 3000].map((ms) => START_MS + ms),
          value: [12.3, NaN, NaN, 12.4],
          status: [0, 2, 4, 1],
          reason: [0, 3, 101, 100],
        });
      });

      it('rounds values to the resolution of the series', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 9000.04999],
            [scale, 1, -0.06],
            [contact, 0, 0.9],
          ]),
        );
        expect((await rawOf(scale)).value).toEqual([9000, -0.1]);
        expect((await rawOf(contact)).value).toEqual([1]);
      });

      it('changes nothing when a batch is sent again, whatever is in it', async () => {
        await store.append(batchOf(7, [[scale, 0, 1]]));
        await store.append(
          batchOf(7, [
            [scale, 0, 2],
            [scale, 1, 2],
          ]),
        );
        expect((await rawOf(scale)).value).toEqual([1]);
        expect(await store.lastSequence('line')).toBe(7);
        expect(await store.lastSequence('nobody')).toBe(-1);
      });

      it('takes a batch that was overtaken by the next one', async () => {
        await store.append(batchOf(0, [[scale, 0, 1]]));
        await store.append(batchOf(2, [[scale, 2, 3]]));
        await store.append(batchOf(1, [[scale, 1, 2]]));
        await store.append(batchOf(1, [[scale, 1, 9]]));
        expect((await rawOf(scale)).value).toEqual([1, 2, 3]);
      });

      it('puts late and disordered samples where they belong, and lets the newest batch win a time', async () => {
        await store.append(
          batchOf(0, [
            [scale, 5000, 5],
            [scale, 1000, 1],
            [scale, 3000, 3],
            [scale, 3000, 33],
          ]),
        );
        await store.append(
          batchOf(1, [
            [scale, 4000, 4],
            [scale, 1000, 11],
            [scale, 0, 0],
          ]),
        );
        const { timeMs, value } = await rawOf(scale);
        expect(timeMs.map((ms) => ms - START_MS)).toEqual([0, 1000, 3000, 4000, 5000]);
        expect(value).toEqual([0, 11, 33, 4, 5]);
      });

      it('leaves the arrays of the caller as they are', async () => {
        const batch = batchOf(0, [[scale, 0, 1.26]]);
        await store.append(batch);
        expect([...batch.value]).toEqual([1.26]);
        expect(batch.timeMs).toHaveLength(1);
      });

      it('refuses a batch of a series that nobody registered', async () => {
        await expect(
          store.append(
            batchOf(0, [
              [scale, 0, 1],
              [999, 0, 1],
            ]),
          ),
        ).rejects.toThrow('REQUEST_UNKNOWN series: got 999, expected an id that `register` gave');
        expect((await rawOf(scale)).value).toEqual([]);
      });
    });

    describe('raw', () => {
      it('includes the start of the range and excludes its end', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 1],
            [scale, 1000, 2],
            [scale, 2000, 3],
          ]),
        );
        expect((await rawOf(scale, START_MS, START_MS + 2000)).value).toEqual([1, 2]);
      });

      it('answers for each series that was asked for and no other', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 1],
            [contact, 0, 1],
          ]),
        );
        const request = { series: [contact], fromMs: START_MS, toMs: START_MS + 1 };
        const pieces = await collected(store.raw(request, never));
        expect(pieces.map(({ series }) => series)).toEqual([contact]);
      });

      it('rejects with the reason of the signal when the caller has lost interest', async () => {
        await store.append(batchOf(0, [[scale, 0, 1]]));
        const controller = new AbortController();
        controller.abort(new Error('browser moved on'));
        const request = { series: [scale], fromMs: START_MS, toMs: START_MS + 1 };
        await expect(collected(store.raw(request, controller.signal))).rejects.toThrow('browser moved on');
      });
    });

    describe('thinned', () => {
      it('weighs the mean of a linear series by time: 0 to 10 over 10 s, then 10 for 10 s, is 7.5, by hand', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 0],
            [scale, 10_000, 10],
            [scale, 20_000, 10],
          ]),
        );
        const bucket = await thinnedOf(scale, START_MS + 20_000, 1);
        expect(bucket.mean[0]).toBeCloseTo(7.5, 10);
        expect(bucket.coveredRatio[0]).toBe(1);
        // The sample at 20 s is where the bucket ends, so it belongs to the next one.
        expect([bucket.count[0], bucket.first[0], bucket.last[0]]).toEqual([2, 0, 10]);
      });

      it('cuts a straight line at the edges of buckets, by hand', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 0],
            [scale, 8000, 8],
          ]),
        );
        const { mean, count, min } = await thinnedOf(scale, START_MS + 8000, 4);
        expect([...mean].map((value) => Math.round(value * 1e9) / 1e9)).toEqual([1, 3, 5, 7]);
        expect([...count]).toEqual([1, 0, 0, 0]);
        expect([...min]).toEqual([0, NaN, NaN, NaN]);
      });

      it('holds the value of a step series until its next sample', async () => {
        await store.append(
          batchOf(0, [
            [contact, 0, 1],
            [contact, 5000, 0],
          ]),
        );
        const { mean, coveredRatio } = await thinnedOf(contact, START_MS + 20_000, 4);
        expect([...mean]).toEqual([1, 0, 0, 0]);
        expect([...coveredRatio]).toEqual([1, 1, 1, 1]);
      });

      it('knows a value no longer than it is held: 10 s of 20, by hand', async () => {
        await store.append(batchOf(0, [[scale, 0, 4]]));
        expect((await thinnedOf(scale, START_MS + 20_000, 1)).coveredRatio[0]).toBeCloseTo(0.5, 10);
      });

      it('does not draw across a gap marker or a bad reading', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 4],
            [scale, 2000, NaN, STORED_STATUS.gap, STORED_REASON.linkDown],
            [scale, 8000, 4],
            [scale, 9000, 7, STORED_STATUS.bad, 0],
          ]),
        );
        const { coveredRatio, count, max } = await thinnedOf(scale, START_MS + 10_000, 1);
        // By hand: 0 to 2 s and 8 to 9 s of 10 s; the bad 7 counts for nothing.
        expect(coveredRatio[0]).toBeCloseTo(0.3, 10);
        expect([count[0], max[0]]).toEqual([2, 4]);
      });

      it('keeps a spike of one sample among thousands', async () => {
        const calm = Array.from({ length: 3000 }, (_, i) => [scale, i * 1000, i === 1234 ? 999 : 5] as const);
        await store.append(batchOf(0, calm));
        const { max, min } = await thinnedOf(scale, START_MS + 3_000_000, 10);
        expect([...max].filter((value) => value === 999)).toHaveLength(1);
        expect([...min].filter((value) => value === 5).length).toBeGreaterThan(8);
      });

      it('carries in the value from before the window', async () => {
        await store.append(batchOf(0, [[contact, -3_600_000, 1]]));
        const { mean, coveredRatio, count } = await thinnedOf(contact, START_MS + 4000, 1);
        expect([mean[0], coveredRatio[0], count[0]]).toEqual([1, 1, 0]);
      });

      it('is empty, not zero, where nothing was recorded', async () => {
        const { mean, min, count, coveredRatio } = await thinnedOf(scale, START_MS + 1000, 1);
        expect([mean[0], min[0], count[0], coveredRatio[0]]).toEqual([NaN, NaN, 0, 0]);
      });
    });

    describe('values and totals', () => {
      it('gives the newest sample at or before a time, and none to a series without one', async () => {
        await store.append(
          batchOf(0, [
            [scale, 0, 1],
            [scale, 1000, 2],
          ]),
        );
        expect(await store.valuesAt([scale, contact], START_MS + 1000)).toEqual([
          { series: scale, timeMs: START_MS + 1000, value: 2, status: 0, reason: 0 },
        ]);
        expect((await store.valuesAt([scale], START_MS + 999))[0]?.value).toBe(1);
        expect(await store.valuesAt([scale], START_MS - 1)).toEqual([]);
      });

      it('integrates 9000 kg/h over 10 s to 25 kg, by hand, and says how much was covered', async () => {
        const readings = [0, 2, 4, 6, 8, 10].map((s) => [scale, s * 1000, 9000] as const);
        await store.append(batchOf(0, readings));
        const request = { series: [scale], fromMs: START_MS, toMs: START_MS + 10_000 };
        const [total] = await store.totals(request, never);
        expect(total?.integralUnitH).toBeCloseTo(25, 9);
        expect(total?.coveredMs).toBeCloseTo(10_000, 6);
        expect(total?.timeInState).toEqual([]);
      });

      it('says how long a contact was in each state, within the window only', async () => {
        await store.append(
          batchOf(0, [
            [contact, -5000, 1],
            [contact, 2000, 0],
            [contact, 5000, 1],
          ]),
        );
        const request = { series: [contact], fromMs: START_MS, toMs: START_MS + 6000 };
        const [total] = await store.totals(request, never);
        expect(total?.timeInState).toEqual([
          { value: 0, spentMs: 3000 },
          { value: 1, spentMs: 3000 },
        ]);
      });

      it('has no total where nothing was covered', async () => {
        const request = { series: [scale], fromMs: START_MS, toMs: START_MS + 6000 };
        expect(await store.totals(request, never)).toEqual([
          { series: scale, integralUnitH: NaN, coveredMs: 0, timeInState: [] },
        ]);
      });
    });

    const { reopen } = makers;
    if (reopen === null) return;
    it('has all of it again after it was closed and opened', async () => {
      await store.append(
        batchOf(3, [
          [scale, 0, 1.5],
          [contact, 0, 1],
        ]),
      );
      await store.rename(running.name, 'quillmarsh.other');
      await store.close();
      store = await reopen();
      expect((await rawOf(scale)).value).toEqual([1.5]);
      expect(await store.lastSequence('line')).toBe(3);
      expect((await store.catalogue()).map((definition) => definition.name)).toEqual([
        flow.name,
        'quillmarsh.other',
      ]);
    });
  });
}

async function registered(
  store: SampleStore,
): Promise<{ readonly scale: SeriesId; readonly contact: SeriesId }> {
  const ids = await store.register([flow, running], 0);
  return { scale: ids.get(flow.name) ?? -1, contact: ids.get(running.name) ?? -1 };
}

interface Plain {
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

async function collected<T>(pieces: AsyncIterable<T>): Promise<T[]> {
  const all: T[] = [];
  for await (const piece of pieces) all.push(piece);
  return all;
}
