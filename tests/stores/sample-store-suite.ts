import { describe, expect, it } from 'vitest';
import { STORED_REASON, STORED_STATUS } from '#server/contract/stored-status.ts';
import type { SeriesDefinition } from '#server/ports/sample-store.ts';
import { batchOf, flow, running, START_MS } from '../support/sample-builders.ts';
import { sampleStoreAnswersSuite } from './sample-store-answers-suite.ts';
import { MINUTE_MS, registeredIds, sampleRig, type StoreMakers } from './sample-rig.ts';

/** What every sample store keeps to. */
export function sampleStoreSuite(name: string, makers: StoreMakers): void {
  describe(name, () => {
    const rig = sampleRig(makers.open);

    describe('names', () => {
      it('keeps the id of a name that is known already', async () => {
        expect(await registeredIds(rig.store)).toEqual({ scale: rig.scale, contact: rig.contact });
        expect(rig.scale).not.toBe(rig.contact);
        expect(await rig.store.catalogue()).toHaveLength(2);
      });

      it('opens a new validity interval when the unit changes, and leaves the past as it was', async () => {
        await rig.store.append(batchOf(0, [[rig.scale, 1000, 5.04]]));
        const coarse: SeriesDefinition = { ...flow, unit: 'kg', resolution: 10 };
        await rig.store.register([coarse], START_MS + MINUTE_MS);
        await rig.store.append(
          batchOf(1, [
            [rig.scale, 2 * MINUTE_MS, 5.04],
            [rig.scale, 2000, 5.06],
          ]),
        );
        expect((await rig.rawOf(rig.scale)).value).toEqual([5, 5.1, 10]);
        const intervals = (await rig.store.catalogue()).filter(({ series }) => series === rig.scale);
        expect(
          intervals.map(({ unit, validFromMs, validToMs }) => ({ unit, validFromMs, validToMs })),
        ).toEqual([
          { unit: 'kg/h', validFromMs: 0, validToMs: START_MS + MINUTE_MS },
          { unit: 'kg', validFromMs: START_MS + MINUTE_MS, validToMs: null },
        ]);
      });

      it('does not carry a value in the old unit past the change', async () => {
        await rig.store.register([{ ...flow, unit: 'kg' }], START_MS + 10_000);
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 8000, 3],
            [rig.scale, 12_000, 700],
          ]),
        );
        const bucket = await rig.thinnedOf(rig.scale, START_MS + 20_000, 1);
        // By hand: 2 s of 3 up to the change, 8 s of 700 from 12 s on.
        expect(bucket.coveredRatio[0]).toBeCloseTo(0.5, 10);
        expect(bucket.mean[0]).toBeCloseTo((2 * 3 + 8 * 700) / 10, 10);
      });

      it('brings the past along when a series is renamed, and frees the old name', async () => {
        await rig.store.append(batchOf(0, [[rig.scale, 0, 1]]));
        await rig.store.rename(flow.name, 'quillmarsh.scale.newName');
        const again = await rig.store.register([flow, { ...flow, name: 'quillmarsh.scale.newName' }], 0);
        expect(again.get('quillmarsh.scale.newName')).toBe(rig.scale);
        expect(again.get(flow.name)).not.toBe(rig.scale);
        expect((await rig.rawOf(rig.scale)).value).toEqual([1]);
      });

      it('refuses to rename what is not there, or to a name that is taken', async () => {
        await expect(rig.store.rename('nobody', 'x')).rejects.toThrow('REQUEST_UNKNOWN series: got nobody');
        await expect(rig.store.rename(flow.name, running.name)).rejects.toThrow(
          `REQUEST_INVALID new name: got ${running.name}`,
        );
      });
    });

    describe('append', () => {
      it('gives back value, status, reason and time of each sample, also of those without a value', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 12.3],
            [rig.scale, 1000, NaN, STORED_STATUS.bad, 3],
            [rig.scale, 2000, NaN, STORED_STATUS.gap, STORED_REASON.linkDown],
            [rig.scale, 3000, 12.4, STORED_STATUS.uncertain, STORED_REASON.late],
          ]),
        );
        expect(await rig.rawOf(rig.scale)).toEqual({
          timeMs: [0, 1000, 2000, 3000].map((ms) => START_MS + ms),
          value: [12.3, NaN, NaN, 12.4],
          status: [0, 2, 4, 1],
          reason: [0, 3, 101, 100],
        });
      });

      it('rounds values to the resolution of the series', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 0, 9000.04999],
            [rig.scale, 1, -0.06],
            [rig.contact, 0, 0.9],
          ]),
        );
        expect((await rig.rawOf(rig.scale)).value).toEqual([9000, -0.1]);
        expect((await rig.rawOf(rig.contact)).value).toEqual([1]);
      });

      it('changes nothing when a batch is sent again, whatever is in it', async () => {
        await rig.store.append(batchOf(7, [[rig.scale, 0, 1]]));
        await rig.store.append(
          batchOf(7, [
            [rig.scale, 0, 2],
            [rig.scale, 1, 2],
          ]),
        );
        expect((await rig.rawOf(rig.scale)).value).toEqual([1]);
        expect(await rig.store.lastSequence('line')).toBe(7);
        expect(await rig.store.lastSequence('nobody')).toBe(-1);
      });

      it('takes a batch that was overtaken by the next one', async () => {
        await rig.store.append(batchOf(0, [[rig.scale, 0, 1]]));
        await rig.store.append(batchOf(2, [[rig.scale, 2, 3]]));
        await rig.store.append(batchOf(1, [[rig.scale, 1, 2]]));
        await rig.store.append(batchOf(1, [[rig.scale, 1, 9]]));
        expect((await rig.rawOf(rig.scale)).value).toEqual([1, 2, 3]);
      });

      it('puts late and disordered samples where they belong, and lets the newest batch win a time', async () => {
        await rig.store.append(
          batchOf(0, [
            [rig.scale, 5000, 5],
            [rig.scale, 1000, 1],
            [rig.scale, 3000, 3],
            [rig.scale, 3000, 33],
          ]),
        );
        await rig.store.append(
          batchOf(1, [
            [rig.scale, 4000, 4],
            [rig.scale, 1000, 11],
            [rig.scale, 0, 0],
          ]),
        );
        const { timeMs, value } = await rig.rawOf(rig.scale);
        expect(timeMs.map((ms) => ms - START_MS)).toEqual([0, 1000, 3000, 4000, 5000]);
        expect(value).toEqual([0, 11, 33, 4, 5]);
      });

      it('leaves the arrays of the caller as they are', async () => {
        const batch = batchOf(0, [[rig.scale, 0, 1.26]]);
        await rig.store.append(batch);
        expect([...batch.value]).toEqual([1.26]);
        expect(batch.timeMs).toHaveLength(1);
      });

      it('refuses a batch of a series that nobody registered', async () => {
        await expect(
          rig.store.append(
            batchOf(0, [
              [rig.scale, 0, 1],
              [999, 0, 1],
            ]),
          ),
        ).rejects.toThrow('REQUEST_UNKNOWN series: got 999, expected an id that `register` gave');
        expect((await rig.rawOf(rig.scale)).value).toEqual([]);
      });
    });

    const { reopen } = makers;
    if (reopen === null) return;
    it('has all of it again after it was closed and opened', async () => {
      await rig.store.append(
        batchOf(3, [
          [rig.scale, 0, 1.5],
          [rig.contact, 0, 1],
        ]),
      );
      await rig.store.rename(running.name, 'quillmarsh.other');
      await rig.store.close();
      rig.store = await reopen();
      expect((await rig.rawOf(rig.scale)).value).toEqual([1.5]);
      expect(await rig.store.lastSequence('line')).toBe(3);
      expect((await rig.store.catalogue()).map((definition) => definition.name)).toEqual([
        flow.name,
        'quillmarsh.other',
      ]);
    });
  });
  sampleStoreAnswersSuite(name, makers);
}
