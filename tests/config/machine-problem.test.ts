import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import { machineProblem } from '#server/config/machine-problem.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import type { MachineSettings } from '#server/contract/machine-settings.ts';

describe('a file of machines', () => {
  let config: PlantConfig;
  let settings: MachineSettings;
  beforeAll(async () => {
    config = await loadConfig(fileURLToPath(new URL('../../config/plant.yaml', import.meta.url)));
    if (config.machines === null) throw new Error('the demonstration names no file of machines');
    settings = config.machines;
  });

  const problem = (change: (own: MachineSettings) => Partial<MachineSettings>) =>
    machineProblem({ ...settings, ...change(settings) }, config);
  const first = <Item>(list: readonly Item[], change: Partial<Item>) =>
    list.map((item, index) => (index === 0 ? { ...item, ...change } : item));

  it('of the demonstration has no problem', () => {
    expect(machineProblem(settings, config)).toBeNull();
  });

  it.each([
    {
      what: 'a machine that the line does not have',
      change: { machine: 'no-such' },
      at: 'machine',
      got: 'no-such',
    },
    { what: 'a kind that it does not define', change: { kind: 'pump' }, at: 'kind', got: 'pump' },
    { what: 'a line that is not there', change: { line: 'z' }, at: 'line', got: 'z' },
    {
      what: 'a tag that the machine does not have',
      change: { signals: { vibration: 'shake' } },
      at: 'signals.vibration',
      got: 'a.intake.shake',
    },
    { what: 'a limit of what is not judged', change: { limits: { noise: {} } }, at: 'limits', got: 'noise' },
  ])('that names $what is told which', ({ change, at, got }) => {
    const told = problem(({ machines }) => ({ machines: first(machines, change) }));
    expect(told).toMatchObject({ subject: `machines.intake.${at}`, got });
  });

  it('with two machines of one name is told so', () => {
    const twice = problem(({ machines }) => ({ machines: [...machines, ...machines.slice(0, 1)] }));
    expect(twice).toMatchObject({ subject: 'machines', got: 'intake twice' });
  });

  it('with a cause that shows a signal nobody judges is told so', () => {
    const wrong = problem(({ causes }) => ({ causes: first(causes, { shows: { noise: 'high' } }) }));
    expect(wrong).toMatchObject({ subject: 'causes.bearing-wear.shows', got: 'noise' });
  });

  it('with an influence that no tag measures is told so', () => {
    const wrong = problem(({ influences }) => ({
      influences: first(influences, { load: 'intake.no-such' }),
    }));
    expect(wrong).toMatchObject({ subject: 'influences.load', got: 'a.intake.no-such' });
  });
});
