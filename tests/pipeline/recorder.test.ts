import { describe, expect, it } from 'vitest';
import { Recorder } from '#server/pipeline/recorder.ts';
import { SampleQueue } from '#server/pipeline/sample-queue.ts';
import type { SampleBatch, SampleStore } from '#server/ports/sample-store.ts';

const sample = (timeMs: number) => ({ series: 1, timeMs, value: timeMs / 10, status: 0, reason: 0 });

/** A store of which only `append` is asked, and that refuses when it is told to. */
function appendOnly() {
  const kept: SampleBatch[] = [];
  const state = { isFull: false };
  const store = {
    append(batch: SampleBatch) {
      if (state.isFull) return Promise.reject(new Error('HISTORY_UNWRITABLE disk: got full'));
      kept.push(batch);
      return Promise.resolve();
    },
  } as unknown as SampleStore;
  return { kept, state, store };
}

function rig() {
  const clock = { timeMs: 1000 };
  const { kept, state, store } = appendOnly();
  const recorder = new Recorder({
    store,
    clock: { nowMs: () => clock.timeMs, every: () => () => undefined },
    writer: 'server',
    lastSequence: 7,
  });
  return { clock, kept, state, recorder };
}

describe('Recorder', () => {
  it('goes on with the sequence of the run before, one batch at a time', async () => {
    const { recorder, kept } = rig();
    recorder.add(sample(10));
    recorder.flush();
    recorder.add(sample(20));
    recorder.flush();
    expect(kept).toHaveLength(1);
    await recorder.settled();
    expect(kept.map(({ sequence, timeMs }) => [sequence, [...timeMs]])).toEqual([
      [8, [10]],
      [9, [20]],
    ]);
  });

  it('keeps a refused batch, says so with numbers, and sends the same one again when there is room', async () => {
    const { clock, recorder, kept, state } = rig();
    state.isFull = true;
    recorder.add(sample(10));
    await recorder.settled();
    recorder.add(sample(20));
    expect(recorder.status).toEqual({
      isRecording: false,
      sinceMs: 1000,
      waitingCount: 2,
      lostCount: 0,
      because: 'HISTORY_UNWRITABLE disk: got full',
    });
    state.isFull = false;
    recorder.flush();
    expect(kept).toEqual([]); // It waits a second before it presses a disk that is full.
    clock.timeMs = 2000;
    recorder.flush();
    await Promise.resolve();
    await recorder.settled();
    expect(kept.map(({ sequence, timeMs }) => [sequence, [...timeMs]])).toEqual([
      [8, [10]],
      [9, [20]],
    ]);
    expect(recorder.status).toMatchObject({ isRecording: true, sinceMs: 2000, because: null });
  });
});

describe('a Recorder whose disk stays full', () => {
  const BOUND = 2_000_000;
  const over = (count: number, recorder: Recorder) => {
    for (let timeMs = 0; timeMs < BOUND + count; timeMs += 1) recorder.add(sample(timeMs));
  };

  it('does not wait longer for the disk because the clock was set back meanwhile', async () => {
    const { clock, recorder, kept, state } = rig();
    clock.timeMs = 3_600_000;
    state.isFull = true;
    recorder.add(sample(10));
    await recorder.settled();
    state.isFull = false;
    clock.timeMs += 999;
    recorder.flush();
    expect(kept).toEqual([]);
    clock.timeMs = 0;
    recorder.flush();
    await recorder.settled();
    expect(kept).toHaveLength(1);
  });

  it('holds two million samples, counts what comes beyond, and counts anew in the next trouble', async () => {
    const { clock, recorder, kept, state } = rig();
    state.isFull = true;
    recorder.add(sample(-1));
    await recorder.settled();
    over(3, recorder);
    expect(recorder.status).toMatchObject({ waitingCount: BOUND + 1, lostCount: 3 });

    state.isFull = false;
    clock.timeMs += 1000;
    recorder.flush();
    await new Promise(setImmediate);
    await recorder.settled();
    const sent = kept.flatMap(({ timeMs }) => [timeMs[0], timeMs.length]);
    expect(sent.slice(0, 4)).toEqual([-1, 1, 0, 100_000]);
    expect(kept.reduce((sum, { timeMs }) => sum + timeMs.length, 0)).toBe(BOUND + 1);
    expect(recorder.status).toMatchObject({ isRecording: true, waitingCount: 0, lostCount: 3 });

    state.isFull = true;
    recorder.add(sample(5));
    await recorder.settled();
    expect(recorder.status).toMatchObject({ isRecording: false, lostCount: 0 });
  });
});

describe('SampleQueue', () => {
  it('keeps order over its growing, and hands out what was asked for', () => {
    const queue = new SampleQueue(20_000);
    for (let timeMs = 0; timeMs < 10_000; timeMs += 1) queue.push(sample(timeMs));
    expect([...queue.take(3).timeMs]).toEqual([0, 1, 2]);
    const rest = queue.take(20_000);
    expect([rest.timeMs[0], rest.timeMs.length, rest.value[1]]).toEqual([3, 9997, 0.4]);
    expect(queue.count).toBe(0);
  });

  it('counts what comes beyond its bound as lost', () => {
    const queue = new SampleQueue(2);
    for (const timeMs of [1, 2, 3]) queue.push(sample(timeMs));
    expect([queue.count, queue.lostCount]).toEqual([2, 1]);
  });

  it('stores no value as NaN, which is nowhere else allowed', () => {
    const queue = new SampleQueue(2);
    queue.push({ ...sample(1), value: null });
    expect(queue.take(1).value[0]).toBeNaN();
  });
});
