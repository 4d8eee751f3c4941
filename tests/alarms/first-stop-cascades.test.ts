import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import type { PlantConfig } from '#server/config/plant-config.ts';
import { loadConfig } from '#server/config/load-config.ts';
import { cascadeOf, STOPPABLE, toldOf, type Sampling } from './seeded-cascades.ts';

/** The simulator's own interlock logic plays the cascades; the alarms see its contacts through a sampling. */
let config: PlantConfig;
beforeAll(async () => {
  config = await loadConfig(fileURLToPath(new URL('../../config/plant.yaml', import.meta.url)));
});

const CASCADES = 200;

/** Resolution by the argument of the design: clock skew + sampling interval + scan. */
const SETTINGS: readonly (Sampling & { readonly name: string })[] = [
  { name: 'true source times', samplingMs: 0, resolutionMs: 40 },
  { name: 'contacts polled every 250 ms', samplingMs: 250, resolutionMs: 290 },
  { name: 'contacts polled every 1 s', samplingMs: 1000, resolutionMs: 1040 },
];

function tally(sampling: Sampling) {
  const count = { single: 0, among: 0, wrongSingle: 0, missed: 0, annunciations: 0 };
  for (let seed = 1; seed <= CASCADES; seed += 1) {
    const first = STOPPABLE[seed % STOPPABLE.length] ?? 'Destoner';
    const { named, annunciations } = toldOf(config, cascadeOf(seed, first), sampling);
    const rule = ruleOf(first);
    count.annunciations += annunciations;
    if (named.length === 1) count[named[0] === rule ? 'single' : 'wrongSingle'] += 1;
    else count[named.includes(rule) ? 'among' : 'missed'] += 1;
  }
  return count;
}

function ruleOf(drive: string): string {
  const [machine = '', part = ''] = drive.split('.');
  const id = machine.replace(/([a-z])([A-Z0-9])/g, '$1-$2').toLowerCase();
  return `a.${id}.${part === 'Fan' ? 'fan-stopped' : 'stopped'}`;
}

describe('the first of 200 seeded cascades over all machines and fans', () => {
  it.each(SETTINGS)('is never the wrong one, and found each time: $name', (sampling) => {
    const count = tally(sampling);
    expect(count).toMatchObject({ wrongSingle: 0, missed: 0 });
    expect(count.single + count.among).toBe(CASCADES);
  });

  it('is a single right name in all 200 when the controller gives true times', () => {
    expect(tally({ samplingMs: 0, resolutionMs: 40 }).single).toBe(CASCADES);
  });

  it('is a single right name in all 200 when contacts are polled every 1 s and the controller has a latch', () => {
    let right = 0;
    for (let seed = 1; seed <= CASCADES; seed += 1) {
      const first = STOPPABLE[seed % STOPPABLE.length] ?? 'Destoner';
      const sampling = { samplingMs: 1000, resolutionMs: 1040, latched: ruleOf(first) };
      const { named } = toldOf(config, cascadeOf(seed, first), sampling);
      if (named.length === 1 && named[0] === ruleOf(first)) right += 1;
    }
    expect(right).toBe(CASCADES);
  });

  it('asks once for each cascade', () => {
    expect(tally({ samplingMs: 0, resolutionMs: 40 }).annunciations).toBe(CASCADES);
  });
});

describe('two machines that trip by chance', () => {
  const sizer = cascadeOf(1, 'Sizer');
  const dryerAfter = (laterMs: number) => {
    const changes = cascadeOf(1, 'Dryer', laterMs);
    return toldOf(config, [...sizer, ...changes], { samplingMs: 250, resolutionMs: 290 });
  };

  it('are two candidates of one alarm within the resolution', () => {
    expect(dryerAfter(20)).toEqual({ named: ['a.dryer.stopped', 'a.sizer.stopped'], annunciations: 1 });
  });

  it('are two first stops beyond it, each with its own train under it', () => {
    expect(dryerAfter(600)).toEqual({ named: ['a.dryer.stopped', 'a.sizer.stopped'], annunciations: 2 });
  });
});
