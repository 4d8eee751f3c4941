import { describe, expect, it } from 'vitest';
import { STORED_REASON, STORED_STATUS } from '#server/contract/stored-status.ts';
import { batchOf, START_MS } from '../support/sample-builders.ts';
import { collected, never, sampleRig, type StoreMakers } from './sample-rig.ts';

/** What the answers of every sample store keep to. */
export function sampleStoreAnswersSuite(name: string, makers: StoreMakers): void {
  describe(`answers of ${name}`, () => {
    const rig = sampleRig(makers.open);

    describe('raw', () => {
      it('includes the start of the range and excludes its end', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 1],
            [rig.scale, 1000, 2],
            [rig.scale, 2000, 3],
          ]),
        );
        expect((await rig.rawOf(rig.scale, START_MS, START_MS + 2000)).value).toEqual([1, 2]);
      });

      it('answers for each series that was asked for and no other', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 1],
            [rig.contact, 0, 1],
          ]),
        );
        const request = { series: [rig.contact], fromMs: START_MS, toMs: START_MS + 1 };
        const pieces = await collected(rig.store.raw(request, never));
        expect(pieces.map(({ series }) => series)).toEqual([rig.contact]);
      });

      it('rejects with the reason of the signal when the caller has lost interest', async () => {
        await rig.store.append(batchOf(0, [[rig.scale, 0, 1]]));
        const controller = new AbortController();
        controller.abort(new Error('browser moved on'));
        const request = { series: [rig.scale], fromMs: START_MS, toMs: START_MS + 1 };
        await expect(collected(rig.store.raw(request, controller.signal))).rejects.toThrow(
          'browser moved on',
        );
      });
    });

    describe('thinned', () => {
      it('weighs the mean of a linear series by time: 0 to 10 over 10 s, then 10 for 10 s, is 7.5, by hand', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 0],
            [rig.scale, 10_000, 10],
            [rig.scale, 20_000, 10],
          ]),
        );
        const bucket = await rig.thinnedOf(rig.scale, START_MS + 20_000, 1);
        expect(bucket.mean[0]).toBeCloseTo(7.5, 10);
        expect(bucket.coveredRatio[0]).toBe(1);
        // The sample at 20 s is where the bucket ends, so it belongs to the next one.
        expect([bucket.count[0], bucket.first[0], bucket.last[0]]).toEqual([2, 0, 10]);
      });

      it('cuts a straight line at the edges of buckets, by hand', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 0],
            [rig.scale, 8000, 8],
          ]),
        );
        const { mean, count, min } = await rig.thinnedOf(rig.scale, START_MS + 8000, 4);
        expect([...mean].map((value) => Math.round(value * 1e9) / 1e9)).toEqual([1, 3, 5, 7]);
        expect([...count]).toEqual([1, 0, 0, 0]);
        expect([...min]).toEqual([0, NaN, NaN, NaN]);
      });

      it('holds the value of a step series until its next sample', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.contact, 0, 1],
            [rig.contact, 5000, 0],
          ]),
        );
        const { mean, coveredRatio } = await rig.thinnedOf(rig.contact, START_MS + 20_000, 4);
        expect([...mean]).toEqual([1, 0, 0, 0]);
        expect([...coveredRatio]).toEqual([1, 1, 1, 1]);
      });

      it('knows a value no longer than it is held: 10 s of 20, by hand', async () => {
        await rig.store.append(batchOf(0, [[rig.scale, 0, 4]]));
        expect((await rig.thinnedOf(rig.scale, START_MS + 20_000, 1)).coveredRatio[0]).toBeCloseTo(0.5, 10);
      });

      it('does not draw across a gap marker or a bad reading', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 4],
            [rig.scale, 2000, NaN, STORED_STATUS.gap, STORED_REASON.linkDown],
            [rig.scale, 8000, 4],
            [rig.scale, 9000, 7, STORED_STATUS.bad, 0],
          ]),
        );
        const { coveredRatio, count, max } = await rig.thinnedOf(rig.scale, START_MS + 10_000, 1);
        // By hand: 0 to 2 s and 8 to 9 s of 10 s; the bad 7 counts for nothing.
        expect(coveredRatio[0]).toBeCloseTo(0.3, 10);
        expect([count[0], max[0]]).toEqual([2, 4]);
      });

      it('keeps a spike of one sample among thousands', async () => {
        const calm = Array.from(
          { length: 3000 },
          (_, i) => [rig.scale, i * 1000, i === 1234 ? 999 : 5] as const,
        );
        await rig.store.append(batchOf(0, calm));
        const { max, min } = await rig.thinnedOf(rig.scale, START_MS + 3_000_000, 10);
        expect([...max].filter((value) => value === 999)).toHaveLength(1);
        expect([...min].filter((value) => value === 5).length).toBeGreaterThan(8);
      });

      it('says which share of a bucket was only uncertain: 3 s of 10, by hand', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 4],
            [rig.scale, 2000, 5, STORED_STATUS.uncertain, 0],
            [rig.scale, 3000, 6, STORED_STATUS.uncertain, 0],
            [rig.scale, 5000, 4],
          ]),
        );
        const { coveredRatio, uncertainRatio } = await rig.thinnedOf(rig.scale, START_MS + 10_000, 1);
        expect(coveredRatio[0]).toBeCloseTo(1, 10);
        expect(uncertainRatio[0]).toBeCloseTo(0.3, 10);
      });

      it('carries in the value from before the window', async () => {
        await rig.store.append(batchOf(0, [[rig.contact, -3_600_000, 1]]));
        const { mean, coveredRatio, count } = await rig.thinnedOf(rig.contact, START_MS + 4000, 1);
        expect([mean[0], coveredRatio[0], count[0]]).toEqual([1, 1, 0]);
      });

      it('is empty, not zero, where nothing was recorded', async () => {
        const { mean, min, count, coveredRatio } = await rig.thinnedOf(rig.scale, START_MS + 1000, 1);
        expect([mean[0], min[0], count[0], coveredRatio[0]]).toEqual([NaN, NaN, 0, 0]);
      });
    });

    describe('values and totals', () => {
      it('gives the newest sample at or before a time, and none to a series without one', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 1],
            [rig.scale, 1000, 2],
          ]),
        );
        expect(await rig.store.valuesAt([rig.scale, rig.contact], START_MS + 1000)).toEqual([
          { series: rig.scale, timeMs: START_MS + 1000, value: 2, status: 0, reason: 0 },
        ]);
        expect((await rig.store.valuesAt([rig.scale], START_MS + 999))[0]?.value).toBe(1);
        expect(await rig.store.valuesAt([rig.scale], START_MS - 1)).toEqual([]);
      });

      it('integrates 9000 kg/h over 10 s to 25 kg, by hand, and says how much was covered', async () => {
        const readings = [0, 2, 4, 6, 8, 10].map((s) => [rig.scale, s * 1000, 9000] as const);
        await rig.store.append(batchOf(0, readings));
        const request = { series: [rig.scale], fromMs: START_MS, toMs: START_MS + 10_000 };
        const [total] = await rig.store.totals(request, never);
        expect(total?.integralUnitH).toBeCloseTo(25, 9);
        expect(total?.coveredMs).toBeCloseTo(10_000, 6);
        expect(total?.timeInState).toEqual([]);
      });

      it('says how long a rig.contact was in each state, within the window only', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.contact, -5000, 1],
            [rig.contact, 2000, 0],
            [rig.contact, 5000, 1],
          ]),
        );
        const request = { series: [rig.contact], fromMs: START_MS, toMs: START_MS + 6000 };
        const [total] = await rig.store.totals(request, never);
        expect(total?.timeInState).toEqual([
          { value: 0, spentMs: 3000 },
          { value: 1, spentMs: 3000 },
        ]);
      });

      it('has no total where nothing was covered', async () => {
        const request = { series: [rig.scale], fromMs: START_MS, toMs: START_MS + 6000 };
        expect(await rig.store.totals(request, never)).toEqual([
          { series: rig.scale, integralUnitH: NaN, coveredMs: 0, timeInState: [] },
        ]);
      });
    });
  });
}
