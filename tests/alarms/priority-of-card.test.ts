import { describe, expect, it } from 'vitest';
import { priorityOfCard } from '#server/alarms/priority-of-card.ts';
import { configurationOf } from './rules.ts';

const { priorities: matrix } = configurationOf([]);
const MINUTE = 60_000;
const card = (severity: 'minor' | 'major' | 'severe', respondWithinMs: number) => ({
  causes: [],
  consequence: '',
  severity,
  actions: [],
  respondWithinMs,
});

describe('priorityOfCard', () => {
  it.each([
    ['severe', 5 * MINUTE, 'critical'],
    ['severe', 3 * MINUTE, 'critical'],
    ['major', 3 * MINUTE, 'high'],
    ['minor', 3 * MINUTE, 'medium'],
    ['minor', 3 * MINUTE + 1, 'low'],
    ['major', 10 * MINUTE + 1, 'medium'],
    ['severe', 600 * MINUTE, 'high'],
  ] as const)('makes %s within %d ms %s, by the matrix', (severity, ms, priority) => {
    expect(priorityOfCard(card(severity, ms), matrix)).toBe(priority);
  });

  it('refuses a matrix without rows', () => {
    expect(() => priorityOfCard(card('minor', 1), [])).toThrow(
      'FIGURE_INPUT priorityOfCard.matrix: got 0 rows, expected >= 1',
    );
  });
});
