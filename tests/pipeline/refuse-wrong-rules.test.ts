import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import { lineSetup } from '#server/line/line-setup.ts';
import { refuseLostCrops } from '#server/pipeline/refuse-lost-crops.ts';
import { refuseWrongRules } from '#server/pipeline/refuse-wrong-rules.ts';
import { changed, loadedFrom, PLANT_TEXT, RULES_TEXT } from '#tests/config/plant-text.ts';
import { aLot } from '#tests/support/record-builders.ts';

/** What the server does with a configuration before it opens anything. */
function check(config: PlantConfig): void {
  const figures = config.lines.flatMap((graph) => {
    const settings = config.settings.find(({ line }) => line === graph.id);
    if (settings === undefined) throw new Error(`no settings of ${graph.id}`);
    const { crops, tags } = config;
    return lineSetup({ graph, settings, crops, tags, endpointOf: new Map() }).plans;
  });
  refuseWrongRules(
    config,
    figures.map(({ description }) => description),
  );
}

describe('refuseWrongRules', () => {
  it.each(['plant.yaml', 'template.yaml'])('has nothing against the rules and bands of %s', async (name) => {
    const config = await loadConfig(fileURLToPath(new URL(`../../config/${name}`, import.meta.url)));
    expect(() => {
      check(config);
    }).not.toThrow();
  });

  it.each([
    {
      what: 'subject that does not exist',
      from: 'subject: s.pit.running',
      to: 'subject: s.pit.runing',
      told: 'CONFIG_REFERENCE rules.s.pit.stopped.subject: got s.pit.runing, expected a tag or figure of the plant; mend it; server not started',
    },
    {
      what: 'run contact that is a scale',
      from: 'subject: s.pit.running',
      to: 'subject: s.pit.flow',
      told: 'CONFIG_REFERENCE rules.s.pit.stopped.subject: got kg/h, expected state; give the number in that unit; server not started',
    },
    {
      what: 'card that is not written',
      from: 'card: stopped',
      to: 'card: moved',
      told: 'CONFIG_REFERENCE rules.s.pit.stopped.card: got moved, expected the name of a card; an alarm needs one; mend it; server not started',
    },
  ])('refuses a rule on a $what, with its code', async ({ from, to, told }) => {
    const config = await loadedFrom(PLANT_TEXT, changed(RULES_TEXT, from, to));
    expect(() => {
      check(config);
    }).toThrow(told);
  });

  it('refuses limits that are out of order', async () => {
    const limits = `kind: limit
    subject: s.pit.flow
    unit: kg/h
    limits: [{ side: high, limit: 90, deadband: 1 }, { side: high-high, limit: 85, deadband: 1 }]`;
    const text = changed(RULES_TEXT, 'kind: run-contact\n    subject: s.pit.running', limits);
    const config = await loadedFrom(PLANT_TEXT, text);
    expect(() => {
      check(config);
    }).toThrow(
      'CONFIG_RANGE rules.s.pit.stopped.limits.high-high [kg/h]: got 85, expected > 90, which is high; put the limits in order; server not started',
    );
  });

  it('refuses a band of a figure that the line does not have', async () => {
    const config = await loadedFrom(changed(PLANT_TEXT, 'line.feed-rate:', 'line.feed-rat:'));
    expect(() => {
      check(config);
    }).toThrow(
      'CONFIG_REFERENCE lines.s.bands: got line.feed-rat, expected a figure of this line; correct the name or remove the band; server not started',
    );
  });
});

describe('refuseLostCrops', () => {
  const crops = [{ id: 'soybean', name: 'Soybean', bushelMassKg: 27.2 }];
  const lot = (crop: string) => ({
    ...aLot({ crop }),
    id: 1,
    writtenBy: { id: 'Ada', role: 'operator' as const },
    writtenMs: 0,
    startedMs: 0,
    endedMs: null,
  });

  it('takes a running lot of a crop that is there, and no lot at all', () => {
    expect(() => {
      refuseLostCrops(crops, [lot('soybean')]);
      refuseLostCrops(crops, []);
    }).not.toThrow();
  });

  it('refuses a running lot of a crop that was taken out, because each tick would fail', () => {
    expect(() => {
      refuseLostCrops(crops, [lot('rye')]);
    }).toThrow(
      'CONFIG_REFERENCE crops, for the running lot QM-0417 of line line-1: got no rye, expected the crop of each running lot; put it back until that lot has ended; server not started',
    );
  });
});
