import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import type { FigureDescription } from '#server/contract/figure-message.ts';
import { refuseWrongRetention } from '#server/pipeline/refuse-wrong-retention.ts';
import { changed, loadedFrom, PLANT_TEXT } from '#tests/config/plant-text.ts';

/** Of a figure only the id counts here. */
const figures = [{ id: 's.line.yield' } as FigureDescription];

async function refusalOf(classes: string): Promise<void> {
  const text = `retention: { classes: [{}, ${classes}] }\ntickMs: 250`;
  refuseWrongRetention(await loadedFrom(changed(PLANT_TEXT, 'tickMs: 250', text)), figures);
}

describe('refuseWrongRetention', () => {
  it('takes beginnings of tags and of figures, and rollups kept as long as their samples', async () => {
    await refusalOf('{ startsWith: s.pit., samplesDays: 3, rollupsDays: 3 }');
    await refusalOf('{ startsWith: s.line.y }');
  });

  it.each(['plant.yaml', 'template.yaml'])('has nothing against the classes of %s', async (name) => {
    const config = await loadConfig(fileURLToPath(new URL(`../../config/${name}`, import.meta.url)));
    expect(config.retention.classes.length).toBeGreaterThan(0);
    expect(() => {
      refuseWrongRetention(config, []);
    }).not.toThrow();
  });

  it('refuses a misspelt beginning, which would leave its tags to another class', async () => {
    await expect(refusalOf('{ startsWith: s.pitt. }')).rejects.toThrow(
      'CONFIG_REFERENCE retention.classes.1.startsWith: got s.pitt., expected the beginning of the id of a tag or figure; correct it or remove the class; server not started',
    );
  });

  it('refuses rollups that go before their samples', async () => {
    await expect(refusalOf('{ samplesDays: 3, rollupsDays: 2 }')).rejects.toThrow(
      'CONFIG_RANGE retention.classes.1.rollupsDays: got 2, expected >= samplesDays, 3; keep rollups at least as long as the samples they are of; server not started',
    );
    await expect(refusalOf('{ rollupsDays: 2 }')).rejects.toThrow(
      'got 2, expected left out, as samplesDays is',
    );
  });
});
