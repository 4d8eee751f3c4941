import { describe, expect, it } from 'vitest';
import type { CropName, Settings } from '#simulator/physics/crops/crop.ts';
import { simulatedPlant, type SimulatedPlant } from '#simulator/simulated-plant.ts';
import type { StreamName } from '#simulator/truth/truth.ts';
import { SEED } from '#tests/support/seed.ts';

interface Mean {
  readonly kgPerH: number;
  readonly germination: number;
  readonly purity: number;
}

/** Means of the streams' truth over ten minutes of a settled line. */
function means(sim: SimulatedPlant): (stream: StreamName) => Mean {
  const truths = Array.from({ length: 60 }, () => {
    sim.step(10_000);
    return sim.truth().streams;
  });
  return (stream) => {
    const mean = (pick: (key: (typeof truths)[number][StreamName]) => number) =>
      truths.reduce((sum, truth) => sum + pick(truth[stream]), 0) / truths.length;
    return {
      kgPerH: mean(({ kgPerH }) => kgPerH),
      germination: mean(({ germination }) => germination ?? Number.NaN),
      purity: mean(({ purity }) => purity ?? Number.NaN),
    };
  };
}

const line = (crop: CropName, more: { bypassed?: readonly string[]; settings?: Partial<Settings> } = {}) =>
  means(simulatedPlant({ seed: SEED, crop, ...more }));

/** Bands of germination in percent: 95-99 common practice, no source; soybean 80-92 from memory. */
const BANDS: Readonly<Record<CropName, readonly [number, number]>> = {
  wheat: [95, 99],
  corn: [95, 99],
  soybean: [80, 92],
};

/** What the trade expects each machine to take, percent of the line's feed; common practice, no source. */
const EXPECTED_SHARES: readonly (readonly [CropName, StreamName, number, number])[] = [
  ['soybean', 'overs', 0.3, 1.2],
  ['soybean', 'screenings', 3, 5],
  ['soybean', 'liftings', 1, 2.5],
  ['soybean', 'offSize', 1.5, 3],
  ['soybean', 'stones', 0.02, 0.1],
  ['soybean', 'lights', 4, 6.5],
  ['wheat', 'overs', 0.3, 1.2],
  ['wheat', 'screenings', 2, 5],
  ['wheat', 'liftings', 1, 3.5],
  ['wheat', 'shorts', 1, 3.5],
  ['wheat', 'offSize', 1, 3],
  ['wheat', 'stones', 0.02, 0.1],
  ['wheat', 'lights', 3, 6],
  ['corn', 'overs', 0.2, 1.2],
  ['corn', 'screenings', 1.5, 4],
  ['corn', 'liftings', 0.8, 2.5],
  ['corn', 'shorts', 1, 3.5],
  ['corn', 'offSize', 0.8, 2.5],
  ['corn', 'stones', 0.02, 0.1],
  ['corn', 'lights', 3, 6],
];

describe.each(['wheat', 'corn', 'soybean'] as const)('a usual lot of %s', (crop) => {
  const usual = line(crop);

  it('leaves with germination in its band and clearly above what came in', () => {
    const [low, high] = BANDS[crop];
    const out = usual('dried').germination * 100;
    expect(out).toBeGreaterThan(low);
    expect(out).toBeLessThan(high);
    expect(out - usual('feed').germination * 100).toBeGreaterThan(1.5);
  });

  it('leaves purer than 99 % and came in below 97 %', () => {
    expect(usual('clean').purity).toBeGreaterThan(0.99);
    expect(usual('feed').purity).toBeLessThan(0.97);
  });

  it.each(EXPECTED_SHARES.filter(([name]) => name === crop))(
    '%s: %s are between %d and %d % of the feed',
    (...[, stream, low, high]) => {
      const percent = (100 * usual(stream).kgPerH) / usual('feed').kgPerH;
      expect(percent).toBeGreaterThan(low);
      expect(percent).toBeLessThan(high);
    },
  );

  it('loses one to five points of germination without the gravity table', () => {
    const bypassed = [
      'GravityTable',
      ...(crop === 'soybean' ? ['LengthGrader'] : []),
      'Spiral',
      'ColourSorter',
    ];
    const lower = (usual('dried').germination - line(crop, { bypassed })('dried').germination) * 100;
    expect(lower).toBeGreaterThan(1);
    expect(lower).toBeLessThan(5);
  });
});

describe('settings have the effects an operator expects (directions: common practice, no source)', () => {
  const usual = line('soybean');
  const changed = (settings: Partial<Settings>) => line('soybean', { settings });

  it('a steeper table sends more to the lights', () => {
    expect(changed({ tableTiltDeg: 4 })('lights').kgPerH).toBeGreaterThan(1.1 * usual('lights').kgPerH);
  });

  it('middlings that are not fed to the table again go with the lights, and good seed with them', () => {
    const thrown = changed({ middlingsReturnedRatio: 0 });
    expect(thrown('lights').kgPerH).toBeGreaterThan(usual('lights').kgPerH + 100);
    expect(thrown('middlings').kgPerH).toBe(0);
    expect(thrown('lights').germination).toBeGreaterThan(usual('lights').germination);
  });

  it('a smaller top screen takes more with the screenings', () => {
    expect(changed({ topHoleMm: 8 })('screenings').kgPerH).toBeGreaterThan(1.1 * usual('screenings').kgPerH);
  });

  it('wider slots let more splits through the bottom screen, so that fewer reach the sizer', () => {
    const wide = changed({ bottomSlotMm: 3.6 });
    expect(wide('screenings').kgPerH).toBeGreaterThan(usual('screenings').kgPerH);
    expect(wide('liftings').kgPerH).toBeLessThan(usual('liftings').kgPerH);
  });

  it('a steeper destoner takes less', () => {
    expect(changed({ destonerTiltDeg: 9 })('stones').kgPerH).toBeLessThan(usual('stones').kgPerH);
  });

  it('a higher trough lip takes fewer shorts from wheat', () => {
    const high = line('wheat', { settings: { troughAngleDeg: 60 } });
    expect(high('shorts').kgPerH).toBeLessThan(line('wheat')('shorts').kgPerH);
  });

  it('a spiral and a colour sorter on the route take what is not round and what is off colour', () => {
    const more = line('soybean', { bypassed: ['LengthGrader'] });
    expect(more('offRound').kgPerH).toBeGreaterThan(10);
    expect(more('offColour').kgPerH).toBeGreaterThan(10);
    expect(more('dried').germination).toBeGreaterThan(usual('dried').germination);
  });
});
