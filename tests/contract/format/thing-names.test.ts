import { describe, expect, it } from 'vitest';
import type { FigureDescription } from '#server/contract/figure-message.ts';
import { thingNames } from '#server/contract/format/thing-names.ts';
import { wordsEn } from '#server/contract/format/words-en.ts';
import { fakePlant, SKETCH_MACHINES } from '#tests/support/fake-line.ts';

const { plant } = fakePlant(SKETCH_MACHINES);

const FIGURE: FigureDescription = {
  id: 'a.x',
  line: 'a',
  machine: null,
  stream: null,
  product: null,
  kind: 'moisture',
  window: 'now',
  unit: '1',
  resolution: 0.001,
  sources: [],
};

function nameOf(figure: Partial<FigureDescription>): string {
  const known = { ...plant, figures: [{ ...FIGURE, ...figure }] };
  return thingNames(known, wordsEn).subject('a.x');
}

describe('the name of a figure', () => {
  const [stream] = plant.lines[0]?.streams ?? [];
  const name = stream?.name ?? '';

  it('tells the moistures of two streams apart', () => {
    expect(nameOf({ stream: stream?.id ?? '' })).toBe(`Seed moisture: ${name}`);
    expect(name).not.toBe('');
  });

  it('tells products apart', () => {
    expect(nameOf({ kind: 'liquid-used', product: 'Coat A', window: 'lot' })).toBe(
      'Liquid used: Coat A, this lot',
    );
    expect(nameOf({ kind: 'product-dose', product: 'Coat A' })).toBe('Coat A dose');
  });

  it('does not say of what a figure is that the line has only once', () => {
    expect(nameOf({ kind: 'feed-rate', stream: stream?.id ?? '' })).toBe('Feed rate');
  });
});

describe('the name of a tag', () => {
  it('does not say the machine twice', () => {
    const [first] = plant.tags;
    if (first === undefined) throw new Error('the fake plant has no tag');
    const named = (tagName: string) =>
      thingNames({ ...plant, tags: [{ ...first, machine: 'intake', name: tagName }] }, wordsEn).subject(
        first.id,
      );
    expect(named('intake scale')).toBe('Intake scale');
    expect(named('motor current')).toBe('Intake motor current');
  });
});
