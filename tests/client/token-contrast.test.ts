import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { PROJECT_ROOT } from '#server/launch/project-root.mjs';
import { contrast, seenDistance, type ColourSight } from '#tests/support/contrast.ts';

const CSS = readFileSync(path.join(PROJECT_ROOT, 'client', 'styles', 'tokens.css'), 'utf8');
const THEMES = ['light', 'dim'] as const;
const GROUNDS = ['ground', 'panel', 'panel-raised'] as const;
const TEXTS = ['ink', 'ink-soft', 'ink-faint', 'critical', 'high', 'medium', 'low'] as const;
const PRIORITIES = ['critical', 'high', 'medium', 'low'] as const;
const SIGHTS: readonly ColourSight[] = ['protanopia', 'deuteranopia', 'tritanopia'];

/** The tokens of one theme that are plain colours. */
function tokensOf(theme: (typeof THEMES)[number]): ReadonlyMap<string, string> {
  const block = new RegExp(`data-theme='${theme}'\\] \\{([^}]*)\\}`).exec(CSS)?.[1] ?? '';
  return new Map(
    [...block.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map(([, name = '', value = '']) => [name, value]),
  );
}

function colour(theme: (typeof THEMES)[number], token: string): string {
  const found = tokensOf(theme).get(token);
  if (found === undefined) throw new Error(`tokens.css has no colour --${token} in the ${theme} theme`);
  return found;
}

describe('contrast', () => {
  it.each([
    ['W1', '#000000', '#ffffff', 21],
    ['W2', '#767676', '#ffffff', 4.5422],
    ['W3', '#777777', '#ffffff', 4.4781],
    ['W4 red', '#ff0000', '#ffffff', 3.9985],
    ['W4 blue', '#0000ff', '#ffffff', 8.5925],
    ['W4 yellow', '#ffff00', '#000000', 19.556],
    ['W5 passes 3:1', '#949494', '#ffffff', 3.0335],
    ['W5 fails 3:1', '#959595', '#ffffff', 2.9953],
  ] as const)('agrees with handbook check %s', (...[, one, other, expected]) => {
    expect(contrast(one, other)).toBeCloseTo(expected, 3);
  });
});

describe.each(THEMES)('tokens of the %s theme', (theme) => {
  const pairs = GROUNDS.flatMap((ground) => TEXTS.map((text) => [text, ground] as const));

  it.each(pairs)('has text in %s on %s with at least 4.5:1', (text, ground) => {
    expect(contrast(colour(theme, text), colour(theme, ground))).toBeGreaterThanOrEqual(4.5);
  });

  it.each(['ink', 'ink-soft'])('has text in %s on a track with at least 4.5:1', (text) => {
    expect(contrast(colour(theme, text), colour(theme, 'track'))).toBeGreaterThanOrEqual(4.5);
  });

  it('has edges of controls with at least 3:1 against every ground they stand on', () => {
    for (const ground of GROUNDS) {
      expect(contrast(colour(theme, 'edge-strong'), colour(theme, ground))).toBeGreaterThanOrEqual(3);
    }
  });

  it.each(SIGHTS)('keeps critical apart from medium and low for people with %s', (sight) => {
    expect(seenDistance(colour(theme, 'critical'), colour(theme, 'low'), sight)).toBeGreaterThan(0.05);
    expect(seenDistance(colour(theme, 'critical'), colour(theme, 'medium'), sight)).toBeGreaterThan(0.05);
  });

  it('gives each priority a colour of its own', () => {
    expect(new Set(PRIORITIES.map((priority) => colour(theme, priority))).size).toBe(4);
  });
});

describe('bars of priorities', () => {
  it('has a form of its own for each, so that no colour is needed to tell them apart', () => {
    const css = readFileSync(path.join(PROJECT_ROOT, 'client', 'parts', 'priority-bar.css'), 'utf8');
    const forms = PRIORITIES.map((priority) =>
      (new RegExp(`\\.bar-${priority} \\{([^}]*)\\}`).exec(css)?.[1] ?? '').replaceAll('var(--priority)', ''),
    );
    expect(new Set(forms).size).toBe(4);
    expect(forms.every((form) => form.trim() !== '')).toBe(true);
  });

  it('blinks at most once a second, and not for people who ask for reduced motion', () => {
    const css = readFileSync(path.join(PROJECT_ROOT, 'client', 'parts', 'priority-bar.css'), 'utf8');
    const seconds = Number(/animation: bar-blink ([\d.]+)s/.exec(css)?.[1]);
    expect(seconds).toBeGreaterThanOrEqual(1);
    expect(css).toMatch(/prefers-reduced-motion: reduce\) \{\s*\.bar-blinking \{\s*animation: none/);
  });
});
