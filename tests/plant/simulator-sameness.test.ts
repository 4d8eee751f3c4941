import { describe, expect, it } from 'vitest';
import type { Face, FaceReading } from '#simulator/face/opcua-face.ts';
import { catchUp, controlsOf, keepUp, type LivePlant } from '#simulator/live-plant.ts';
import { simulatedPlant, type SimulatedPlant } from '#simulator/simulated-plant.ts';
import { upsetNamed } from '#tests/simulator/pair-run.ts';

const OPTIONS = { seed: 99, settleMs: 300_000 };
const ZERO_MS = 1_700_000_000_000;

function played(seconds: number): readonly string[] {
  const sim = simulatedPlant({ ...OPTIONS, upsets: [{ upset: upsetNamed('destoner-stop'), atMs: 20_250 }] });
  return sim
    .step(seconds * 1000)
    .map(({ node, timeMs, value, quality }) => `${node} ${timeMs} ${value} ${quality}`);
}

/** A face that only remembers what it was shown. */
function rememberingFace(sim: SimulatedPlant) {
  const shown: string[] = [];
  const face: Face = {
    url: '',
    publish(tag: number, { timeMs, value, quality, isLive }: FaceReading) {
      if (isLive) shown.push(`${sim.tags[tag]?.node ?? ''} ${timeMs - ZERO_MS} ${value} ${quality}`);
    },
    close: () => Promise.resolve(),
  };
  return { face, shown };
}

/** Lets the live plant run by a clock that moves as a busy machine's timer would: late and unevenly. */
function playedLive(seconds: number): readonly string[] {
  const sim = simulatedPlant(OPTIONS);
  const { face, shown } = rememberingFace(sim);
  let now = ZERO_MS;
  const live: LivePlant = {
    sim,
    face,
    upsets: new Map([['destoner-stop', upsetNamed('destoner-stop')]]),
    speed: 1,
    zeroMs: ZERO_MS,
    liveFromMs: ZERO_MS,
    now: () => now,
    onTruth: undefined,
    doubtful: new Set(),
  };
  catchUp(live);
  shown.length = 0;
  for (let tick = 0; now < ZERO_MS + seconds * 1000; tick += 1) {
    now = Math.min(now + 40 + ((tick * 37) % 50), ZERO_MS + seconds * 1000);
    if (now >= ZERO_MS + 20_250 && sim.player.playing.length === 0) {
      const late = now;
      now = ZERO_MS + 20_250;
      controlsOf(live).begin('destoner-stop');
      now = late;
    }
    keepUp(live);
  }
  return shown;
}

describe('the same seed', () => {
  it('gives the same numbers on two runs', () => {
    expect(played(120)).toEqual(played(120));
  });

  it('gives the same numbers live and in-process, though the live clock ticks unevenly', () => {
    expect([...playedLive(60)].sort()).toEqual([...played(60)].sort());
  });

  it('gives other numbers than another seed', () => {
    const other = simulatedPlant({ ...OPTIONS, seed: 100 });
    const first = simulatedPlant(OPTIONS);
    expect(other.step(10_000)).not.toEqual(first.step(10_000));
  });
});

describe('a plant that measures less', () => {
  it.each(['typical', 'poor'] as const)(
    'shows on a %s plant what the same tags show on a full one',
    (profile) => {
      const full = new Map(
        simulatedPlant(OPTIONS)
          .step(30_000)
          .map((reading) => [`${reading.node} ${reading.timeMs}`, reading]),
      );
      const fewer = simulatedPlant({ ...OPTIONS, profile }).step(30_000);
      expect(fewer.length).toBeGreaterThan(100);
      expect(
        fewer.filter(({ node, timeMs, value }) => full.get(`${node} ${timeMs}`)?.value !== value),
      ).toEqual([]);
    },
  );
});

describe('step', () => {
  it('refuses a time that is no multiple of the step', () => {
    const sim = simulatedPlant(OPTIONS);
    expect(() => sim.step(1500)).toThrow('step dtMs [ms]: got 1500, expected a multiple of 1000');
  });

  it('reports a contact at its true millisecond, not at the end of the step', () => {
    const stops = played(60).filter((line) => /Running \d+ 0 /.test(line));
    expect(stops[0]).toBe('Destoner.Running 20250 0 0');
    expect(stops[1]).toMatch(/^Elevator2\.Running 204[789]\d 0 0$|^Elevator2\.Running 205\d\d 0 0$/);
  });
});
