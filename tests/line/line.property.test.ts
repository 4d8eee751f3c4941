import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { FigureMessage } from '#server/contract/figure-message.ts';
import { QUALITIES, type Quality, type Reading } from '#server/contract/reading.ts';
import {
  handSample,
  lotFrom,
  lotMark,
  ranWhole,
  readingsOf,
  shiftFrom,
  STEADY,
  wholeSetup,
} from '#tests/line/whole-line.ts';

const setup = wholeSetup();
const SECONDS = 120;
const TAGS = [...new Set(readingsOf(STEADY, 1).map(({ tag }) => tag))];
const UNITS_NOT_BELOW_ZERO = ['kg', 'kg/h', 'mL', 'mL/bu', 'h', 'state'];
/** May fall below zero for a good reason: seed that takes up water, and rejects that bring more than seed. */
const MAY_BE_NEGATIVE = ['water-removed', 'good-seed-lost-worth'];

/** Something that goes wrong with a plant for a while. */
const trouble = fc.record({
  is: fc.constantFrom(
    'stop',
    'gap',
    'bad',
    'uncertain',
    'wild',
    'counter-reset',
    'counter-jump',
    'late',
    'twice',
  ),
  tag: fc.constantFrom(...TAGS),
  fromS: fc.integer({ min: 0, max: SECONDS }),
  lengthS: fc.integer({ min: 1, max: 120 }),
  amount: fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.integer({ min: -2000, max: 30_000 }),
  ),
});
type Trouble = typeof trouble extends fc.Arbitrary<infer T> ? T : never;

type Played = (
  readings: readonly Reading[],
  isIn: (each: Reading) => boolean,
  trouble: Trouble,
) => readonly Reading[];
const onTag = (
  readings: readonly Reading[],
  isIn: (each: Reading) => boolean,
  by: (each: Reading) => Partial<Reading>,
) => changed(readings, (each) => (isIn(each) ? by(each) : {}));

const PLAYED: Readonly<Record<Trouble['is'], Played>> = {
  stop: (readings, _, { fromS, lengthS }) => {
    const isFlow = (each: Reading) => /flow|pump|screenings|lights/.test(each.tag);
    const isNow = ({ sourceTimeMs }: Reading) =>
      sourceTimeMs >= fromS * 1000 && sourceTimeMs < (fromS + lengthS) * 1000;
    return onTag(
      readings,
      (each) => isFlow(each) && isNow(each),
      () => ({ value: 0 }),
    );
  },
  gap: (readings, isIn) => readings.filter((each) => !isIn(each)),
  bad: (readings, isIn) => onTag(readings, isIn, () => ({ value: null, quality: 'bad' })),
  uncertain: (readings, isIn) => onTag(readings, isIn, () => ({ quality: 'uncertain' })),
  wild: (readings, isIn, { amount }) => onTag(readings, isIn, () => ({ value: amount })),
  'counter-reset': (readings, _, { fromS }) =>
    onTag(readings, isCounterAfter(fromS), ({ value }) => ({ value: (value ?? 0) % 100 })),
  'counter-jump': (readings, _, { fromS, amount }) =>
    onTag(readings, isCounterAfter(fromS), ({ value }) => ({
      value: ((value ?? 0) + Math.abs(amount % 900)) % 1000,
    })),
  late: (readings, isIn) => onTag(readings, isIn, ({ arrivalMs }) => ({ arrivalMs: arrivalMs + 5000 })),
  twice: (readings, isIn) => [...readings, ...readings.filter(isIn)],
};

function isCounterAfter(fromS: number) {
  return ({ tag, sourceTimeMs }: Reading) => tag.endsWith('total') && sourceTimeMs >= fromS * 1000;
}

function withTrouble(readings: readonly Reading[], played: Trouble): readonly Reading[] {
  const { tag, fromS, lengthS } = played;
  const isIn = (each: Reading) =>
    each.tag === tag && each.sourceTimeMs >= fromS * 1000 && each.sourceTimeMs < (fromS + lengthS) * 1000;
  return PLAYED[played.is](readings, isIn, played);
}

function changed(readings: readonly Reading[], by: (each: Reading) => Partial<Reading>): readonly Reading[] {
  return readings.map((each) => ({ ...each, ...by(each) }));
}

const notes = fc.record({
  lot: fc.option(fc.integer({ min: -60, max: SECONDS }).map((s) => lotFrom(s * 1000))),
  shift: fc.option(fc.integer({ min: -600, max: SECONDS }).map((s) => shiftFrom(s * 1000))),
  marks: fc.array(
    fc.integer({ min: 0, max: SECONDS }).map((s) => lotMark('table', s * 1000)),
    { maxLength: 2 },
  ),
  samples: fc.array(
    fc
      .tuple(fc.integer({ min: 0, max: SECONDS }), fc.double({ min: -1, max: 2, noNaN: true }))
      .map(([s, value]) => {
        return handSample('lights', s * 1000, { 'good-seed': { value, unit: '1' } });
      }),
    { maxLength: 3 },
  ),
});

/** What a known figure must not be. */
const WRONGS: Readonly<Record<string, (figure: FigureMessage) => boolean>> = {
  'not finite': ({ value }) => !Number.isFinite(value),
  'no uncertainty': ({ uncertainty }) =>
    uncertainty !== null && !(Number.isFinite(uncertainty) && uncertainty >= 0),
  'no covered share': ({ coveredRatio }) => coveredRatio === null || coveredRatio < 0 || coveredRatio > 1,
  'known by what is bad': ({ quality }) => quality === 'bad' || quality === 'stale',
};

function isWrong(figure: FigureMessage): string | null {
  const { value, because, uncertainty, quality } = figure;
  if ((value === null) === (because === null)) return 'neither known nor unknown';
  if (value === null)
    return quality === 'bad' && uncertainty === null ? null : 'unknown and yet of some quality';
  return Object.entries(WRONGS).find(([, isSo]) => isSo(figure))?.[0] ?? null;
}

const description = (id: string) => {
  const found = setup.plans.find((plan) => plan.description.id === id)?.description;
  if (found === undefined) throw new Error(`no plan for ${id}`);
  return found;
};

describe('stepLine, whatever goes wrong', () => {
  it('gives no wrong number: nothing infinite, no negative mass, no fault, in any second (property)', () => {
    fc.assert(
      fc.property(fc.array(trouble, { maxLength: 8 }), notes, (troubles, noted) => {
        const readings = troubles.reduce(withTrouble, readingsOf(STEADY, SECONDS, 2));
        const { steps } = ranWhole(setup, readings, { ...noted, tickMs: 2000 });
        for (const step of steps) {
          expect(step.faults).toEqual([]);
          for (const figure of step.figures) {
            expect([figure.id, isWrong(figure)]).toEqual([figure.id, null]);
            const { unit, kind } = description(figure.id);
            const isMass = UNITS_NOT_BELOW_ZERO.includes(unit) && !MAY_BE_NEGATIVE.includes(kind);
            if (isMass && (figure.value ?? 0) < 0)
              expect([figure.id, figure.value]).toEqual([figure.id, '>= 0']);
          }
        }
      }),
      { numRuns: 25 },
    );
  });

  it('gives no figure that is better than its worst input (property)', () => {
    const worst = fc.record({
      tag: fc.constantFrom(...TAGS),
      quality: fc.constantFrom<Quality>('uncertain', 'bad'),
    });
    fc.assert(
      fc.property(worst, fc.boolean(), ({ tag, quality }, hasLot) => {
        const readings = changed(readingsOf(STEADY, SECONDS, 2), (each) =>
          each.tag === tag ? { quality, value: quality === 'bad' ? null : each.value } : {},
        );
        const step = ranWhole(setup, readings, { lot: hasLot ? lotFrom(10_000) : null, tickMs: 2000 });
        for (const figure of step.figures) {
          if (figure.value === null || !restsOn(figure.id, tag)) continue;
          expect([figure.id, QUALITIES.indexOf(figure.quality) >= QUALITIES.indexOf(quality)]).toEqual([
            figure.id,
            true,
          ]);
        }
      }),
      { numRuns: 30 },
    );
  });
});

/** Figures that have no other instrument to turn to: of the rates of now and ten minutes, all that name the tag. */
function restsOn(id: string, tag: string): boolean {
  const { sources, window, kind } = description(id);
  const hasTank = tag.endsWith('pump') && window !== 'now';
  const hasOther =
    hasTank || tag.endsWith('total') || tag.endsWith('tank') || window === 'lot' || window === 'shift';
  const isGate = kind === 'off-route';
  return (
    sources.includes(tag) &&
    !hasOther &&
    !isGate &&
    !['reconciled-rate', 'instrument-error', 'time-to-empty'].includes(kind)
  );
}
