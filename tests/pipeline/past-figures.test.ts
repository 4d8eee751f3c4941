import { describe, expect, it } from 'vitest';
import type { FigureMessage } from '#server/contract/figure-message.ts';
import { framesFrom } from '#server/line/frames.ts';
import { NEW_LINE, stepLine } from '#server/line/step-line.ts';
import { PastReadings, pastFigures } from '#server/pipeline/past-figures.ts';
import { reading } from '#tests/line/demo-readings.ts';
import { SMALL_TAGS, smallSetup } from '#tests/line/small-line.ts';

const setup = smallSetup();
const SECONDS = 180;

/** Flows that rise and fall, each at its own pace, measured at uneven times. */
const readings = SMALL_TAGS.flatMap((tag, place) =>
  Array.from({ length: SECONDS }, (_, second) => {
    const swing = 1 + 0.2 * Math.sin(second / (5 + place));
    return reading(tag, second * 1000 + ((second * 37 + place * 113) % 900), 1000 * (10 - 2 * place) * swing);
  }),
).toSorted((a, b) => a.sourceTimeMs - b.sourceTimeMs);

/** The figures as they were told while watching, at each whole second. */
function live(): ReadonlyMap<number, readonly FigureMessage[]> {
  const told = new Map<number, readonly FigureMessage[]>();
  let state = NEW_LINE;
  for (const frame of framesFrom(readings, 250, 500)) {
    const step = stepLine(setup, state, { frame, lostEndpoints: new Set(), lot: null });
    state = step.state;
    if (frame.endMs % 1000 === 0) told.set(frame.endMs, step.figures);
  }
  return told;
}

describe('pastFigures', () => {
  const past = [...pastFigures(setup, readings, { lot: null, untilMs: Infinity })];

  it('agrees with the figures that were told live, at every whole second', () => {
    const told = live();
    const compared = past.filter(([first]) => told.has(first?.timeMs ?? -1));
    expect(compared.length).toBeGreaterThan(SECONDS - 5);
    for (const figures of compared) {
      const then = told.get(figures[0]?.timeMs ?? -1) ?? [];
      expect(then.map(({ id }) => id)).toEqual(figures.map(({ id }) => id));
      // Figures of minutes are worked out once a second, each at its own moment: those of just now can be compared.
      const isFresh = (_: unknown, index: number) => then[index]?.timeMs === figures[0]?.timeMs;
      expect(figures.filter(isFresh)).toEqual(then.filter(isFresh));
      expect(figures.filter(isFresh).length).toBeGreaterThan(10);
    }
    expect(past.at(-1)?.find(({ id }) => id === 's.line.yield')?.value).toBeGreaterThan(0);
  });

  it('is one set of figures a second, and ends before the watch began', () => {
    const before = [...pastFigures(setup, readings, { lot: null, untilMs: 60_000 })];
    const times = before.map(([first]) => first?.timeMs ?? NaN);
    expect(times.at(-1)).toBe(59_000);
    expect(times.slice(1).map((ms, at) => ms - (times[at] ?? NaN))).toEqual(times.slice(1).map(() => 1000));
  });

  it('takes the bushel of the lot that ran', () => {
    const lot = {
      id: 1,
      writtenBy: { id: 'Ada', role: 'operator' as const },
      writtenMs: 0,
      line: 's',
      number: 'QM-1',
      crop: 'corn',
      massKgPlanned: null,
      testWeightKgPerHl: null,
      route: 'A',
      treatmentPlan: '1',
      products: [],
      startedMs: 0,
      endedMs: null,
    };
    const doseOf = (steps: readonly (readonly FigureMessage[])[]) =>
      steps.at(-1)?.find(({ id }) => id === 's.drum.dose')?.value ?? NaN;
    const ofCorn = doseOf([...pastFigures(setup, readings, { lot, untilMs: Infinity })]);
    // 56 lb of corn to 60 lb of soybean, by hand.
    expect(ofCorn / doseOf(past)).toBeCloseTo(56 / 60, 9);
  });
});

describe('PastReadings', () => {
  const at = (ms: number) => reading('s.pit.flow', ms, 1);

  it('waits until nothing has come for a second and a half, then gives all in order of source time', () => {
    const waiting = new PastReadings((tag) => tag === 's.pit.flow');
    waiting.add([at(3), at(4)], 1000);
    waiting.add([at(1), reading('s.pit.other', 2, 1)], 2000);
    expect(waiting.takeWhenQuiet(3499)).toEqual([]);
    expect(waiting.takeWhenQuiet(3500).map(({ sourceTimeMs }) => sourceTimeMs)).toEqual([1, 3, 4]);
    expect(waiting.takeWhenQuiet(9999)).toEqual([]);
  });
});
