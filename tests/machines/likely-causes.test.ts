import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import { likelyCauses, type CauseRow, type Evidence } from '#server/machines/likely-causes.ts';

const HIGH: Evidence = { kind: 'deviates', direction: 'high' };
const LOW: Evidence = { kind: 'deviates', direction: 'low' };
const LEANS_HIGH: Evidence = { kind: 'leans', direction: 'high' };
const STEADY: Evidence = { kind: 'steady' };

describe('the configured table of causes', () => {
  let rows: readonly CauseRow[] = [];
  beforeAll(async () => {
    const config = await loadConfig(fileURLToPath(new URL('../../config/plant.yaml', import.meta.url)));
    rows = (config.machines?.causes ?? []).map((row) => ({
      ...row,
      supports: row.supports ?? {},
      leaves: row.leaves ?? [],
    }));
  });

  const causes = (kind: string, evidence: Readonly<Record<string, Evidence>>) =>
    likelyCauses(
      new Map(Object.entries(evidence)),
      rows.filter(({ kinds }) => kinds.includes(kind)),
    );
  const best = (kind: string, evidence: Readonly<Record<string, Evidence>>) => {
    const [first, second] = causes(kind, evidence);
    return first === undefined || first.score === second?.score ? null : `${first.cause} ${first.certainty}`;
  };

  it.each([
    ['fan', { vibration: HIGH, 'bearing-temperature': HIGH }, 'bearing-wear likely'],
    ['fan', { vibration: HIGH, 'bearing-temperature': STEADY }, 'rotor-unbalance possible'],
    ['fan', { 'motor-current': LOW, 'fan-pressure': HIGH, 'filter-pressure': HIGH }, 'filter-loaded likely'],
    ['fan', { 'motor-current': HIGH, 'fan-pressure': LOW, 'air-gate': STEADY }, 'air-leak likely'],
    ['fan', { 'air-gate': HIGH, 'motor-current': HIGH, 'fan-pressure': LOW }, 'air-gate-opened likely'],
    ['elevator', { 'belt-ratio': LOW, 'motor-current': STEADY }, 'belt-slip possible'],
    ['elevator', { 'belt-ratio': LOW, 'motor-current': HIGH }, 'driven-side-drags likely'],
    ['fan', { 'current-unbalance': HIGH, 'winding-temperature': HIGH }, 'phase-unbalance likely'],
    ['deck', { 'deck-vibration': HIGH, 'belt-ratio': STEADY }, 'deck-out-of-tune possible'],
    ['fan', { 'winding-temperature': HIGH, 'current-unbalance': STEADY }, 'winding-cooling possible'],
  ] as const)('for a %s with %o names %s', (kind, evidence, named) => {
    expect(best(kind, evidence)).toBe(named);
  });

  it('does not decide between bearing and rotor when the bearing’s warmth is not measured', () => {
    expect(best('fan', { vibration: HIGH })).toBeNull();
  });

  it('is never likely on one signal alone', () => {
    for (const { signal, direction } of rows.flatMap(({ shows }) =>
      Object.entries(shows).map(([signal, direction]) => ({ signal, direction })),
    )) {
      for (const kind of ['fan', 'drive', 'elevator', 'deck']) {
        const found = causes(kind, { [signal]: { kind: 'deviates', direction } });
        expect(found.filter(({ certainty }) => certainty === 'likely')).toEqual([]);
      }
    }
  });

  it('names nothing on hints alone', () => {
    expect(causes('fan', { vibration: LEANS_HIGH, 'bearing-temperature': LEANS_HIGH })).toEqual([]);
  });

  it('rules out a cause whose first signal goes the other way', () => {
    const found = causes('fan', { 'motor-current': HIGH, 'fan-pressure': HIGH, 'filter-pressure': HIGH });
    expect(found.map(({ cause }) => cause)).not.toContain('filter-loaded');
  });
});
