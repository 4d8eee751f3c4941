import { describe, expect, it } from 'vitest';
import { MS_PER_HOUR } from '#server/calc/units.ts';
import { runningAt } from '#server/line/flow-track.ts';
import { EMPTY_TANK, withWeight, type TankTrack } from '#server/line/tank-track.ts';
import { reading } from '#tests/line/demo-readings.ts';

const RULES = { noiseKg: 0.5, settleMs: 30_000, maxGapMs: 60_000, mostKg: 1000 };

/** A tank of 200 kg that is weighed every five seconds and gives 36 kg/h. */
function drawn(untilMs: number): TankTrack {
  let track = EMPTY_TANK;
  for (let timeMs = 0; timeMs <= untilMs; timeMs += 5000) {
    track = withWeight(track, reading('s.drum.tank', timeMs, 200 - timeMs / 100_000), RULES);
  }
  return track;
}

const lostKgAt = (timeMs: number) => runningAt(drawn(60_000).losses, timeMs, 0).total / MS_PER_HOUR;

describe('withWeight', () => {
  it('counts what was drawn at the instants of weighing, by hand', () => {
    expect(lostKgAt(50_000)).toBeCloseTo(0.5, 9);
  });

  it('lets it run evenly between two weighings, and does not add the weight of the tank to it', () => {
    expect(lostKgAt(52_500)).toBeCloseTo(0.525, 9);
    expect(lostKgAt(51_000)).toBeCloseTo(0.51, 9);
  });

  it('knows no more after the last weighing than it did then', () => {
    expect(lostKgAt(64_000)).toBeCloseTo(0.6, 9);
  });
});
