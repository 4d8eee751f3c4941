import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Reading } from '#server/contract/reading.ts';
import { badReading, reading, steady } from '#tests/line/demo-readings.ts';
import { figureOf, ran, SMALL_GRAPH, SMALL_TAGS, smallSetup } from '#tests/line/small-line.ts';

const MINUTE_MS = 60_000;
const setup = smallSetup();

/** 10,000 kg/h in, 400 screenings, 600 lights, 9,000 clean, 900 mL/min: two minutes of it. */
function running(span = { fromMs: 0, toMs: 2 * MINUTE_MS }): readonly Reading[] {
  const flows: Record<string, number> = {
    's.pit.flow': 10_000,
    's.cleaner.screenings': 400,
    's.table.lights': 600,
    's.table.clean-flow': 9000,
    's.drum.pump': 900,
  };
  return Object.entries(flows).flatMap(([tag, value]) => steady(tag, value, span));
}

const without = (tag: string) => running().filter((each) => each.tag !== tag);
const valueOfFigure = (readings: readonly Reading[], id: string) => figureOf(ran(setup, readings), id).value;

describe('stepLine', () => {
  it('gives yield, shares, ratios, closure and dose of a steady line, by hand', () => {
    const step = ran(setup, running());
    expect(figureOf(step, 's.line.feed-rate').value).toBeCloseTo(10_000, 6);
    expect(figureOf(step, 's.line.yield').value).toBeCloseTo(0.9, 9);
    expect(figureOf(step, 's.cleaner.reject-share').value).toBeCloseTo(0.04, 9);
    expect(figureOf(step, 's.table.reject-share').value).toBeCloseTo(0.06, 9);
    // The table is fed what the cleaner left: 600 of 9,600.
    expect(figureOf(step, 's.table.reject-ratio').value).toBeCloseTo(0.0625, 9);
    // 900 mL/min x 60 onto 9,000 kg/h of 27.2155422 kg bushels.
    expect(figureOf(step, 's.drum.dose').value).toBeCloseTo(163.293253, 5);
  });

  it('compares clean seed with the feed that it came from, not with the feed of now', () => {
    const stepped = [
      ...without('s.pit.flow'),
      ...steady('s.pit.flow', 10_000, { fromMs: 0, toMs: 100_000 }),
      ...steady('s.pit.flow', 5000, { fromMs: 101_000, toMs: 120_000 }),
    ];
    expect(valueOfFigure(stepped, 's.line.yield')).toBeCloseTo(0.9, 9);
    expect(valueOfFigure(stepped, 's.line.feed-rate')).toBeCloseTo(5000, 6);
  });

  it('carries the band of the configuration', () => {
    expect(figureOf(ran(setup, running()), 's.line.yield').band).toEqual({
      low: 0.8,
      high: 0.9,
      target: 0.85,
    });
  });

  it('is unknown because the line is stopped when no seed enters', () => {
    const stopped = [
      ...without('s.pit.flow'),
      ...steady('s.pit.flow', 0, { fromMs: 0, toMs: 2 * MINUTE_MS }),
    ];
    expect(figureOf(ran(setup, stopped), 's.line.yield')).toMatchObject({
      value: null,
      because: 'line-stopped',
    });
  });

  it('is unknown because the line is filling while the first seed has not come through', () => {
    const filling = [
      ...without('s.pit.flow'),
      ...steady('s.pit.flow', 0, { fromMs: 0, toMs: 99_000 }),
      ...steady('s.pit.flow', 10_000, { fromMs: 100_000, toMs: 120_000 }),
    ];
    expect(figureOf(ran(setup, filling), 's.line.yield').because).toBe('line-filling');
  });

  it('says that a machine is bypassed, and takes nothing from it', () => {
    const bypassed = [...without('s.cleaner.screenings'), reading('s.cleaner.bypassed', 0, 1)];
    const step = ran(setup, bypassed);
    expect(figureOf(step, 's.cleaner.reject-ratio').because).toBe('machine-bypassed');
    expect(figureOf(step, 's.table.reject-ratio').value).toBeCloseTo(0.06, 9);
  });

  it('says that a stream is not measured', () => {
    const unweighed = SMALL_GRAPH.streams.map((stream) =>
      stream.id === 'screenings' ? { ...stream, massFlowTag: null } : stream,
    );
    const step = ran(smallSetup({ ...SMALL_GRAPH, streams: unweighed }), running());
    expect(figureOf(step, 's.cleaner.reject-ratio').because).toBe('not-measured');
    expect(figureOf(step, 's.table.reject-ratio').because).toBe('not-measured');
    expect(figureOf(step, 's.table.reject-share').value).toBeCloseTo(0.06, 9);
  });

  it.each([
    ['waiting-for-first-reading', without('s.table.clean-flow')],
    ['tag-bad', [...running(), badReading('s.table.clean-flow', 2 * MINUTE_MS + 1)]],
    ['window-uncovered', [...without('s.table.clean-flow'), reading('s.table.clean-flow', 119_000, 9000)]],
    [
      'tag-stale',
      [...without('s.table.clean-flow'), ...steady('s.table.clean-flow', 9000, { fromMs: 0, toMs: 109_000 })],
    ],
    [
      'inputs-inconsistent',
      [
        ...without('s.table.clean-flow'),
        ...steady('s.table.clean-flow', -500, { fromMs: 0, toMs: 2 * MINUTE_MS }),
      ],
    ],
  ] as const)('says %s', (because, readings) => {
    expect(figureOf(ran(setup, readings), 's.line.yield')).toMatchObject({
      value: null,
      because,
      quality: 'bad',
    });
  });

  it('says that the link is down before anything else', () => {
    const step = ran(setup, running(), new Set(['plc']));
    expect(step.figures.map(({ because }) => because)).toEqual(step.figures.map(() => 'link-down'));
  });

  it('takes a scale that drifts a little below zero as 0 and uncertain', () => {
    const drifted = [
      ...without('s.table.lights'),
      ...steady('s.table.lights', -3, { fromMs: 0, toMs: 2 * MINUTE_MS }),
    ];
    expect(figureOf(ran(setup, drifted), 's.table.reject-rate')).toMatchObject({
      value: 0,
      quality: 'uncertain',
    });
  });

  it('is no better than its worst input', () => {
    const doubtful = running().map((each) =>
      each.tag === 's.table.clean-flow' ? { ...each, quality: 'uncertain' as const } : each,
    );
    const step = ran(setup, doubtful);
    expect(figureOf(step, 's.line.yield').quality).toBe('uncertain');
    expect(figureOf(step, 's.cleaner.reject-share').quality).toBe('good');
  });

  it('never gives a number that is not finite or a mass below zero, whatever comes (property)', () => {
    const anyReading = fc.record({
      tag: fc.constantFrom(...SMALL_TAGS, 's.cleaner.bypassed'),
      sourceTimeMs: fc.integer({ min: 0, max: 200_000 }),
      delayMs: fc.integer({ min: 0, max: 5000 }),
      value: fc.option(
        fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.integer({ min: -200, max: 20_000 })),
      ),
      quality: fc.constantFrom('good', 'uncertain', 'bad', 'stale'),
    });
    fc.assert(
      fc.property(fc.array(anyReading, { minLength: 1, maxLength: 80 }), (parts) => {
        const readings = parts.map(({ delayMs, ...rest }) => ({
          ...rest,
          arrivalMs: rest.sourceTimeMs + delayMs,
        }));
        const { figures, faults } = ran(setup, readings);
        expect(faults).toEqual([]);
        for (const figure of figures) {
          expect((figure.value === null) !== (figure.because === null)).toBe(true);
          expect(figure.value === null || Number.isFinite(figure.value)).toBe(true);
          const isMass = figure.id.endsWith('-rate');
          if (isMass) expect(figure.value ?? 0).toBeGreaterThanOrEqual(0);
        }
      }),
    );
  });
});
