import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tankLoss } from '#server/calc/dose/tank-loss.ts';
import { kilograms } from '#server/calc/units.ts';
import type { Stream } from '#server/contract/line-graph.ts';
import { EMPTY_TANK, withWeight } from '#server/line/tank-track.ts';
import { reading } from '#tests/line/demo-readings.ts';
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
const lot = lotFrom(0);
/** 900 mL/min x 60 onto 9,000 kg/h of 27.2155422 kg bushels, by hand. */
const DOSE_ML_PER_BU = 163.293_253;
const ran = (flows: Flows, notes: Parameters<typeof ranWhole>[2] = { lot }, on = setup) =>
  ranWhole(on, readingsOf({ ...STEADY, ...flows }, SECONDS), notes);
const withCoat = (change: (coat: Stream) => Partial<Stream>) => {
  const streams = WHOLE_GRAPH.streams.map((one) => (one.id === 'coat' ? { ...one, ...change(one) } : one));
  return wholeSetup({ graph: { ...WHOLE_GRAPH, streams } });
};

describe('a tank on a scale', () => {
  const RULES = { noiseKg: 0.5, settleMs: 30_000, maxGapMs: 20_000, mostKg: 1e6 };

  it('loses the same as by the calculation over all weights at once (property)', () => {
    const steps = fc.array(
      fc.tuple(
        fc.integer({ min: 500, max: 25_000 }),
        fc.double({ min: -3, max: 1, noNaN: true }),
        fc.boolean(),
      ),
      { minLength: 2, maxLength: 150 },
    );
    fc.assert(
      fc.property(steps, (parts) => {
        let timeMs = 0;
        let kg = 100;
        const weights = parts.map(([stepMs, change, isRefill]) => {
          timeMs += stepMs;
          kg += isRefill ? 40 * change : change;
          return { timeMs, value: kilograms(kg) };
        });
        const whole = tankLoss(weights, {
          settleMs: RULES.settleMs,
          maxGapMs: RULES.maxGapMs,
          noise: kilograms(RULES.noiseKg),
        });
        const track = weights.reduce(
          (grown, { timeMs: at, value }) => withWeight(grown, reading('tank', at, value), RULES),
          EMPTY_TANK,
        );
        const last = track.losses.tail.at(-1);
        expect((last?.total ?? 0) / 3_600_000).toBeCloseTo(whole.lost + whole.held, 6);
        expect(last?.coveredMs).toBeCloseTo(whole.weighedMs + whole.heldMs, 6);
        expect(last?.doubtfulMs).toBeCloseTo(whole.heldMs, 6);
      }),
    );
  });

  it('gives the dose of ten minutes and of the lot by what it lost, whatever the pump says', () => {
    const step = ran({ 'w.drum.pump': 700 });
    expect(figureOf(step, 'w.drum.dose').value).toBeCloseTo((DOSE_ML_PER_BU * 700) / 900, 4);
    expect(figureOf(step, 'w.drum.dose-ten-minutes').value).toBeCloseTo(DOSE_ML_PER_BU, 1);
    expect(figureOf(step, 'w.drum.dose-lot').value).toBeCloseTo(DOSE_ML_PER_BU, 1);
    expect(figureOf(step, 'w.drum.dose-lot').quality).toBe('good');
  });

  it('holds the dose over a refill and calls it uncertain', () => {
    const drawn = (second: number) => 150 - (second * 900 * 1.1) / 60_000;
    const refilled = (second: number) => drawn(second) + Math.min(40, Math.max(0, second - 500));
    const step = ran({ 'w.drum.tank': refilled });
    const dose = figureOf(step, 'w.drum.dose-lot');
    expect(dose.quality).toBe('uncertain');
    expect(dose.value ?? 0).toBeGreaterThan(DOSE_ML_PER_BU * 0.97);
    expect(dose.value ?? 0).toBeLessThan(DOSE_ML_PER_BU * 1.03);
  });

  it('says how much was used, and how long the rest lasts', () => {
    const step = ran({});
    // 15 min less 35 s way and 500 kg / 9,000 kg/h = 200 s in the bin before the treater, at 900 mL/min, by hand.
    expect(figureOf(step, 'w.drum.liquid-used-1-lot').value).toBeCloseTo((900 * (900 - 235)) / 60, -1);
    // 150 - 14.85 - 2 kg of 1.1 kg/L at 54 L/h, by hand.
    expect(figureOf(step, 'w.drum.time-to-empty-1').value).toBeCloseTo(133.15 / 1.1 / 54, 1);
  });
});

describe('the dose of a product', () => {
  it('has the target of the lot, and the band of the line within the limits of its label', () => {
    // The configured band is 5 % around its own target; the label allows 155 to 163.
    expect(figureOf(ran({}), 'w.drum.product-dose-1').band).toEqual({ target: 160, low: 155, high: 163 });
    expect(figureOf(ran({}, {}), 'w.drum.product-dose-1').band).toEqual({ target: 100, low: 95, high: 105 });
  });

  it('of products mixed beforehand is a share by recipe, uncertain, and unknown without the recipe', () => {
    const mixed = withCoat(({ liquid }) => ({
      liquid: {
        ...{ tankMassTag: null, unusableKg: 0, calibrationMsMax: Infinity, ...liquid },
        products: [
          { name: 'Coat', densityGPerMl: 1.1 },
          { name: 'Binder', densityGPerMl: 1.1 },
        ],
      },
    }));
    const plan = (name: string, doseMlPerBu: number) => {
      return { name, doseMlPerBu, labelMlPerBuMin: null, labelMlPerBuMax: null };
    };
    const both = lotFrom(0, { products: [plan('Coat', 120), plan('Binder', 40)] });
    const step = ran({}, { lot: both }, mixed);
    expect(figureOf(step, 'w.drum.product-dose-1').value).toBeCloseTo(DOSE_ML_PER_BU * 0.75, 4);
    expect(figureOf(step, 'w.drum.product-dose-2').value).toBeCloseTo(DOSE_ML_PER_BU * 0.25, 4);
    expect(figureOf(step, 'w.drum.product-dose-2').quality).toBe('uncertain');
    expect(figureOf(step, 'w.drum.dose').quality).toBe('good');
    expect(figureOf(ran({}, { lot }, mixed), 'w.drum.product-dose-2').because).toBe('not-measured');
    expect(figureOf(ran({}, {}, mixed), 'w.drum.product-dose-2').because).toBe('no-lot');
  });

  it('is uncertain by a pump that was not caught in this lot, or too long ago', () => {
    const pumpOnly = withCoat(({ liquid }) => ({
      liquid: {
        ...{ products: [{ name: 'Coat', densityGPerMl: 1.1 }], unusableKg: 0 },
        ...liquid,
        tankMassTag: null,
        calibrationMsMax: 600_000,
      },
    }));
    const caught = (takenMs: number) => [
      handSample('coat', takenMs, { 'catch-volume': { value: 900, unit: 'mL' } }),
    ];
    const quality = (samples: ReturnType<typeof caught>, of = lot) =>
      figureOf(ran({}, { lot: of, samples }, pumpOnly), 'w.drum.dose').quality;
    expect(quality([])).toBe('uncertain');
    expect(quality(caught(400_000))).toBe('good');
    expect(quality(caught(200_000))).toBe('uncertain');
    expect(quality(caught(400_000), lotFrom(500_000))).toBe('uncertain');
  });

  it('varies by nothing over a lot of even pumping, and by what the pump does', () => {
    expect(figureOf(ran({}), 'w.drum.dose-variation-lot').value).toBeCloseTo(0, 9);
    // Half of the minutes at 810, half at 990 mL/min: 10 % of the mean, with n - 1 of 14 to 15 minutes a little more.
    const uneven = (second: number) => (Math.floor(second / 60) % 2 === 0 ? 810 : 990);
    const variation = figureOf(ran({ 'w.drum.pump': uneven }), 'w.drum.dose-variation-lot').value ?? 0;
    expect(variation).toBeGreaterThan(0.09);
    expect(variation).toBeLessThan(0.11);
    expect(figureOf(ran({}, {}), 'w.drum.dose-variation-lot').because).toBe('no-lot');
  });
});

describe('conditions of the treater and of the gates', () => {
  const stateOf = (flows: Flows, id: string, of = lot) => figureOf(ran(flows, { lot: of }), id).value;

  it('tell liquid without seed from seed without liquid', () => {
    expect(stateOf({}, 'w.drum.liquid-without-seed')).toBe(0);
    expect(stateOf({}, 'w.drum.seed-without-liquid')).toBe(0);
    expect(stateOf({ 'w.drum.flow': 0 }, 'w.drum.liquid-without-seed')).toBe(1);
    expect(stateOf({ 'w.drum.pump': 0 }, 'w.drum.seed-without-liquid')).toBe(1);
  });

  it('do not ask for liquid on a lot that is not to be treated', () => {
    const bare = lotFrom(0, { products: [] });
    expect(stateOf({ 'w.drum.pump': 0 }, 'w.drum.seed-without-liquid', bare)).toBe(0);
  });

  it('say that a gate stands otherwise than the route of the lot wants it', () => {
    expect(stateOf({}, 'w.line.off-route')).toBe(0);
    expect(stateOf({ 'w.cleaner.bypassed': 1 }, 'w.line.off-route')).toBe(1);
    expect(stateOf({}, 'w.line.off-route', lotFrom(0, { route: 'short' }))).toBe(1);
    expect(stateOf({ 'w.cleaner.bypassed': 1 }, 'w.line.off-route', lotFrom(0, { route: 'short' }))).toBe(0);
    const elsewhere = figureOf(ran({}, { lot: lotFrom(0, { route: 'unheard of' }) }), 'w.line.off-route');
    expect(elsewhere.because).toBe('not-measured');
  });
});
