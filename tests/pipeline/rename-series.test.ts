import { describe, expect, it } from 'vitest';
import type { FigureDescription } from '#server/contract/figure-message.ts';
import { refuseWrongRenames } from '#server/pipeline/refuse-wrong-renames.ts';
import { renameSeries } from '#server/pipeline/rename-series.ts';
import { changed, loadedFrom, PLANT_TEXT } from '#tests/config/plant-text.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { batchOf, flow, START_MS } from '#tests/support/sample-builders.ts';

const never = new AbortController().signal;

async function storeWith(...names: readonly string[]) {
  const store = memorySampleStore();
  const ids = await store.register(
    names.map((name) => ({ ...flow, name })),
    0,
  );
  const rows = names.map((name, i) => [ids.get(name) ?? -1, 0, i + 1] as const);
  await store.append(batchOf(0, rows));
  return { store, names: async () => (await store.catalogue()).map(({ name }) => name) };
}

describe('renameSeries', () => {
  it('brings the past along, of one series and of all that begin alike, and once', async () => {
    const { store, names } = await storeWith(
      'a.scale.flow',
      'a.screen.speed',
      'a.screen.running',
      'a.screens.x',
    );
    const renamed = [
      { from: 'a.scale.flow', to: 'a.intake.flow' },
      { from: 'a.screen.', to: 'a.sieve.' },
    ];
    for (let start = 0; start < 2; start += 1) {
      await renameSeries(store, renamed);
      expect(await names()).toEqual(['a.intake.flow', 'a.sieve.speed', 'a.sieve.running', 'a.screens.x']);
    }
    // The new definition is that of the series that was there, not of a new one beside it.
    const id = (await store.register([{ ...flow, name: 'a.sieve.speed' }], START_MS)).get('a.sieve.speed');
    const values: number[] = [];
    const asked = { series: [id ?? -1], fromMs: 0, toMs: START_MS + 1 };
    for await (const { value } of store.raw(asked, never)) values.push(...value);
    expect(values).toEqual([2]);
  });

  it('renames nothing when one of them has a past under both names', async () => {
    const { store, names } = await storeWith('a.x', 'a.old', 'a.new');
    const renamed = [
      { from: 'a.x', to: 'a.y' },
      { from: 'a.old', to: 'a.new' },
    ];
    await expect(renameSeries(store, renamed)).rejects.toThrow(
      'CONFIG_REFERENCE renamed a.old: got a history of a.new, too, expected no history under the new name yet; remove the entry, and each keeps its own; server not started',
    );
    expect(await names()).toEqual(['a.x', 'a.old', 'a.new']);
  });
});

describe('refuseWrongRenames', () => {
  // Of a figure only the id counts here.
  const figures = [{ id: 's.line.yield' } as FigureDescription];
  const check = async (from: string, to: string) => {
    const text = changed(PLANT_TEXT, 'tickMs: 250', `renamed: [{ from: ${from}, to: ${to} }]\ntickMs: 250`);
    refuseWrongRenames(await loadedFrom(text), figures);
  };

  it('takes ids of tags and figures that are, from ids that are no more', async () => {
    await check('s.pit.mass-flow', 's.pit.flow');
    await check('s.line.output', 's.line.yield');
    await check('s.hopper.', 's.pit.');
  });

  it.each([
    ['s.pit.old', 's.pit.nothing', 'renamed.0.to: got s.pit.nothing, expected a tag or figure of the plant'],
    [
      's.pit.running',
      's.pit.flow',
      'renamed.0.from: got s.pit.running, expected a name that no tag or figure has',
    ],
    ['s.hopper.', 's.pit.flow', 'renamed.0.to: got s.pit.flow, expected a name that ends as s.hopper. does'],
    ['S.Hopper', 's.pit.flow', 'got "S.Hopper", expected an id, or the beginning of some with its dot'],
  ])('refuses %s to %s', async (from, to, told) => {
    await expect(check(from, to)).rejects.toThrow(told);
  });
});
