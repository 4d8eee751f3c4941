import { describe, expect, it } from 'vitest';
import { learnBaseline } from '#server/machines/learn-baseline.ts';
import { residualOf } from '#server/machines/residual-of.ts';
import type { ConditionPoint } from '#server/machines/step-point.ts';
import { CURRENT, currentPoints } from './machine-points.ts';

const at = (load: number, current: number, group = 'wheat'): ConditionPoint => ({
  timeMs: 0,
  group,
  influences: new Map([['load', load]]),
  signals: new Map([['motor-current', current]]),
});

function learnt() {
  const baseline = learnBaseline(currentPoints({ seed: 1, count: 400 }), CURRENT);
  if (baseline === null) throw new Error('nothing was learnt');
  return baseline;
}

describe('learnBaseline', () => {
  it('expects 6 A and 0.5 A a t/h: 12 A at 12 t/h is no deviation, 12.6 A is 5 % more, by hand', () => {
    const baseline = learnt();
    expect(residualOf(baseline, at(12, 12), CURRENT)).toMatchObject({ known: true });
    const residual = residualOf(baseline, at(12, 12.6), CURRENT);
    expect(residual.known && residual.value).toBeCloseTo(0.05, 2);
    expect(residual.known && residual.expected).toBeCloseTo(12, 1);
  });

  it('does not call a motor that merely works harder deviating', () => {
    const hard = residualOf(learnt(), at(13.5, 12.75), CURRENT);
    expect(hard.known && Math.abs(hard.value)).toBeLessThan(0.01);
  });

  it('learns the same from a period in which one point in ten was a start-up', () => {
    const spoilt = currentPoints({ seed: 1, count: 400, more: (i) => (i % 10 === 0 ? 3 : 0) });
    const baseline = learnBaseline(spoilt, CURRENT);
    expect(baseline === null ? null : residualOf(baseline, at(12, 12), CURRENT)).toMatchObject({
      known: true,
    });
    const residual = baseline === null ? null : residualOf(baseline, at(12, 12), CURRENT);
    expect(residual?.known === true && Math.abs(residual.value)).toBeLessThan(0.005);
  });

  it('states the spread that the noise really has: 0.5 % of 11.5 A', () => {
    const spread = learnt().groups.get('wheat')?.deviation ?? 0;
    expect(spread).toBeGreaterThan(0.045);
    expect(spread).toBeLessThan(0.07);
  });

  it('is null when no group was seen for six hours', () => {
    expect(learnBaseline(currentPoints({ seed: 1, count: 35 }), CURRENT)).toBeNull();
    expect(learnBaseline(currentPoints({ seed: 1, count: 36 }), CURRENT)).not.toBeNull();
  });

  it('leaves out an influence that the plant does not measure', () => {
    const plan = { ...CURRENT, explainedBy: ['load', 'mains'] };
    const group = learnBaseline(currentPoints({ seed: 1, count: 100 }), plan)?.groups.get('wheat');
    expect(group?.influences.map(({ name }) => name)).toEqual(['load']);
  });
});

describe('residualOf', () => {
  it.each([
    ['a crop that was never learnt', at(12, 12, 'corn'), 'not-learned'],
    ['a load far outside of what was seen', at(30, 21), 'outside-learned'],
    ['a signal that is not there', { ...at(12, 12), signals: new Map<string, number>() }, 'not-measured'],
    ['a load that is not known', { ...at(12, 12), influences: new Map<string, number>() }, 'outside-learned'],
  ] as const)('is unknown for %s', (_, point, because) => {
    expect(residualOf(learnt(), point, CURRENT)).toEqual({ known: false, because });
  });

  it('counts in the signal’s own unit where the plan says difference', () => {
    const residual = residualOf(learnt(), at(12, 12.6), { ...CURRENT, residual: 'difference' });
    expect(residual.known && residual.value).toBeCloseTo(0.6, 1);
  });
});
