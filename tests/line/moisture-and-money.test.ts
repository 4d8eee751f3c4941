import { describe, expect, it } from 'vitest';
import { explainedFigure } from '#server/line/step-line.ts';
import { figureOf } from '#tests/line/small-line.ts';
import {
  handSample,
  lotFrom,
  ranWhole,
  readingsOf,
  STEADY,
  WHOLE_GRAPH,
  wholeSetup,
  type Flows,
} from '#tests/line/whole-line.ts';

const setup = wholeSetup();
const SECONDS = 900;
const HOUR_MS = 3_600_000;
const lot = lotFrom(0);
const good = (takenMs: number, value = 0.35) =>
  handSample('lights', takenMs, { 'good-seed': { value, unit: '1' } });
const ran = (flows: Flows, notes: Parameters<typeof ranWhole>[2] = { lot }, on = setup) =>
  ranWhole(on, readingsOf({ ...STEADY, ...flows }, SECONDS), notes);

describe('moisture', () => {
  it('leaves the yield of dry matter alone when seed dries on the way: 0.9 x 0.89 / 0.88, by hand', () => {
    const step = ran({ 'w.table.moisture': 0.11 });
    expect(figureOf(step, 'w.line.yield-ten-minutes').value).toBeCloseTo(0.9, 9);
    expect(figureOf(step, 'w.line.dry-matter-yield-ten-minutes').value).toBeCloseTo((0.9 * 0.89) / 0.88, 6);
  });

  it('and liquid balance the water removed, by hand', () => {
    // Seed 9,000 kg/h of 12 % and 59.4 kg/h of liquid, 40 % of it solid; out at 11 %:
    // 1,080 + 35.64 kg/h water in, (7,920 + 23.76) x 0.11 / 0.89 = 981.8 kg/h out.
    const step = ran({ 'w.dryer.moisture': 0.11 });
    expect(figureOf(step, 'w.line.water-removed-ten-minutes').value).toBeCloseTo(1080 + 35.64 - 981.805, 0);
  });

  it('beyond what seed can hold is a broken meter, not a yield', () => {
    const figure = figureOf(ran({ 'w.pit.moisture': 0.7 }), 'w.line.dry-matter-yield-ten-minutes');
    expect(figure.because).toBe('inputs-inconsistent');
  });
});

describe('good seed lost', () => {
  const id = 'w.table.good-seed-lost-ten-minutes';
  const worth = 'w.table.good-seed-lost-worth-ten-minutes';

  it('is 600 kg/h of lights x 35 %: 210 kg/h, and at 1.20 less 0.20 a kg 210 an hour, by hand', () => {
    const step = ran({}, { lot, samples: [good(600_000)] });
    expect(figureOf(step, id)).toMatchObject({ quality: 'good' });
    expect(figureOf(step, id).value).toBeCloseTo(210, 6);
    expect(figureOf(step, worth).value).toBeCloseTo(210, 6);
  });

  it('takes the latest sample of the stream, not of another, nor one of tomorrow', () => {
    const other = handSample('screenings', 700_000, { 'good-seed': { value: 0.9, unit: '1' } });
    const samples = [good(500_000, 0.2), good(600_000), other, good(2_000_000, 0.8)];
    expect(figureOf(ran({}, { lot, samples }), id).value).toBeCloseTo(210, 6);
  });

  it('is unknown without a sample, and uncertain by one of another lot or of long ago', () => {
    expect(figureOf(ran({}), id).because).toBe('no-sample');
    expect(figureOf(ran({}, { lot: lotFrom(700_000), samples: [good(600_000)] }), id).quality).toBe(
      'uncertain',
    );
    expect(figureOf(ran({}, { samples: [good(-9 * HOUR_MS)] }), id).quality).toBe('uncertain');
  });
});

describe('a catch by hand', () => {
  const streams = WHOLE_GRAPH.streams.map((one) =>
    one.id === 'lights' ? { ...one, massFlowTag: null } : one,
  );
  const unweighed = wholeSetup({ graph: { ...WHOLE_GRAPH, streams } });
  const caught = (takenMs: number) =>
    handSample('lights', takenMs, {
      'catch-mass': { value: 5, unit: 'kg' },
      'catch-time': { value: 30, unit: 's' },
    });

  it('gives a stream that nobody weighs its rate: 5 kg in 30 s are 600 kg/h, uncertain, by hand', () => {
    const step = ran({}, { lot, samples: [caught(600_000)] }, unweighed);
    expect(figureOf(step, 'w.table.reject-rate')).toMatchObject({ value: 600, quality: 'uncertain' });
    expect(figureOf(step, 'w.table.reject-share').value).toBeCloseTo(0.06, 9);
  });

  it('grows stale after four hours', () => {
    const step = ran({}, { lot, samples: [caught(-4 * HOUR_MS)] }, unweighed);
    expect(figureOf(step, 'w.table.reject-rate').because).toBe('tag-stale');
  });
});

describe('explainedFigure', () => {
  const step = ran({}, { lot, samples: [good(600_000)] });
  const why = (id: string) => {
    const found = explainedFigure(setup, { state: step.state, input: step.input }, id);
    if (found === null) throw new Error(`nothing explains ${id}`);
    return found;
  };

  it('tells the inputs of a yield with the time of the seed, their errors and what each adds', () => {
    const { formula, figure, inputs, causes } = why('w.line.yield-ten-minutes');
    expect(formula).toBe('clean-over-feed');
    expect(figure.value).toBe(figureOf(step, 'w.line.yield-ten-minutes').value);
    expect(inputs.map(({ role, tag }) => [role, tag])).toEqual([
      ['feed', 'w.pit.flow'],
      ['clean', 'w.table.flow'],
    ]);
    const [feed, clean] = inputs;
    expect((clean?.toMs ?? 0) - (feed?.toMs ?? 0)).toBe(30_000);
    expect(feed?.error?.toleranceRatio).toBe(0.0025);
    expect(
      causes
        .slice(0, 2)
        .map(({ cause }) => cause)
        .toSorted(),
    ).toEqual(['w.pit.flow', 'w.table.flow']);
    const together = Math.sqrt(causes.reduce((sum, { uncertainty }) => sum + uncertainty ** 2, 0));
    expect(together).toBeCloseTo(figure.uncertainty ?? NaN, 3);
  });

  it('tells the totaliser of a lot, the tank of a dose and the age of a sample', () => {
    expect(why('w.line.feed-mass-lot').inputs[0]).toMatchObject({ tag: 'w.pit.total', fromMs: 0 });
    expect(why('w.drum.dose-lot').inputs.map(({ tag }) => tag)).toEqual(['w.drum.flow', 'w.drum.tank']);
    const sample = why('w.table.good-seed-lost-ten-minutes').inputs.find(({ role }) => role === 'sample');
    expect(sample).toMatchObject({ value: 0.35, newestMs: 600_000, tag: null });
  });

  it('gives the same value as was told, for every figure of the line', () => {
    for (const figure of step.figures) {
      const { value, because } = why(figure.id).figure;
      expect([figure.id, because]).toEqual([figure.id, figure.because]);
      if (figure.value !== null)
        expect(Math.abs((value ?? NaN) - figure.value)).toBeLessThan(1 + figure.value * 1e-3);
    }
  });

  it('knows nothing of a figure that the line lacks', () => {
    expect(explainedFigure(setup, { state: step.state, input: step.input }, 'w.line.unheard-of')).toBeNull();
  });
});
