import { describe, expect, it } from 'vitest';
import type { Frame } from '#server/contract/frame.ts';
import type { Reading } from '#server/contract/reading.ts';
import { framesFrom, NO_FRAMES_YET, stepFrames } from '#server/line/frames.ts';
import { reading } from '#tests/line/demo-readings.ts';

const timing = { tickMs: 250, holdBackMs: 500 };
const valuesOf = (readings: readonly Reading[]) => readings.map(({ value }) => value);

describe('framesFrom', () => {
  it('puts readings at 10 and 240 ms into the first frame and one at 260 ms into the second, by hand', () => {
    const frames = framesFrom([reading('t', 10, 1), reading('t', 240, 2), reading('t', 260, 3)], 250, 500);
    expect(frames.slice(0, 2).map((frame) => [frame.endMs, valuesOf(frame.readings)])).toEqual([
      [250, [1, 2]],
      [500, [3]],
    ]);
  });

  it('counts a reading exactly at the end of a frame as in it', () => {
    const [first] = framesFrom([reading('t', 250, 1)], 250, 0);
    expect(first?.endMs).toBe(250);
  });

  it('keeps a pulse that is shorter than a tick', () => {
    const pulse = [reading('contact', 10, 0), reading('contact', 100, 1), reading('contact', 140, 0)];
    expect(valuesOf(framesFrom(pulse, 250, 500)[0]?.readings ?? [])).toEqual([0, 1, 0]);
  });

  it('orders a burst by source time, whatever the order of arrival', () => {
    const burst = [30, 10, 20].map((ms) => ({ ...reading('t', ms, ms), arrivalMs: 300 }));
    expect(valuesOf(framesFrom(burst, 250, 500)[0]?.readings ?? [])).toEqual([10, 20, 30]);
  });

  it('makes the same frames as live ticks make of the same arrivals', () => {
    const arrivals = Array.from({ length: 400 }, (_, index) => ({
      ...reading(`t${index % 7}`, index * 37, index),
      arrivalMs: index * 37 + ((index * 53) % 400),
    })).toSorted((a, b) => a.arrivalMs - b.arrivalMs);
    const replayed = framesFrom(arrivals, timing.tickMs, timing.holdBackMs);
    expect(liveFrames(arrivals)).toEqual(replayed.slice(0, lastHeard(replayed) + 1));
  });
});

function liveFrames(arrivals: readonly Reading[]) {
  const frames = [];
  let state = NO_FRAMES_YET;
  for (let nowMs = 250; nowMs < 17_000; nowMs += 250) {
    const arrived = arrivals.filter(({ arrivalMs }) => arrivalMs >= nowMs - 250 && arrivalMs < nowMs);
    const step = stepFrames(state, { arrived, nowMs }, timing);
    state = step.state;
    frames.push(...step.frames);
    const isOver = state.pending.length === 0 && nowMs > 16_000;
    if (isOver) break;
  }
  return frames.slice(0, lastHeard(frames) + 1);
}

function lastHeard(frames: readonly Frame[]): number {
  return frames.findLastIndex(({ readings }) => readings.length > 0);
}

describe('stepFrames', () => {
  const started = stepFrames(NO_FRAMES_YET, { arrived: [reading('t', 100, 1)], nowMs: 1000 }, timing);

  it('puts what has stood since yesterday into the first frame instead of making frames since then', () => {
    const arrived = [reading('contact', -86_400_000, 1), reading('flow', 9900, 5)];
    const [first] = stepFrames(NO_FRAMES_YET, { arrived, nowMs: 10_500 }, timing).frames;
    expect(first).toMatchObject({ endMs: 8250, readings: [{ tag: 'contact' }] });
  });

  it('waits for the hold-back before it closes a frame', () => {
    const early = stepFrames(NO_FRAMES_YET, { arrived: [reading('t', 100, 1)], nowMs: 700 }, timing);
    expect(early.frames).toEqual([]);
    expect(started.frames.map(({ endMs }) => endMs)).toEqual([250, 500]);
  });

  it('sets a reading aside as late when its frame was made', () => {
    const late = reading('t', 200, 9);
    const step = stepFrames(started.state, { arrived: [late], nowMs: 1250 }, timing);
    expect(step.late).toEqual([late]);
    expect(step.frames.flatMap(({ readings }) => readings)).toEqual([]);
  });

  it('lets a late reading be the latest of its tag when it is newer than what was known', () => {
    const step = stepFrames(started.state, { arrived: [reading('t', 200, 9)], nowMs: 1250 }, timing);
    expect(step.frames[0]?.latest.get('t')?.value).toBe(9);
  });

  it('makes the frames of a long sleep in portions', () => {
    const step = stepFrames(started.state, { arrived: [], nowMs: 3_600_000 }, timing);
    expect(step.frames).toHaveLength(400);
    const next = stepFrames(step.state, { arrived: [], nowMs: 3_600_250 }, timing);
    expect(next.frames[0]?.endMs).toBe(500 + 401 * 250);
  });

  it('starts a new time line when the plant clock is set back by more than 5 s', () => {
    const ahead = stepFrames(started.state, { arrived: [], nowMs: 60_000 }, timing);
    const back = stepFrames(ahead.state, { arrived: [reading('t', 20_100, 5)], nowMs: 21_000 }, timing);
    expect(back.late).toEqual([]);
    expect(back.frames[0]).toMatchObject({ endMs: 20_250, readings: [{ value: 5 }] });
  });
});
