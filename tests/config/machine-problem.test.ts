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
    [
      'names a machine that the line does not have',
      { machine: 'no-such' },
      'machines.intake.machine',
      'no-such',
    ],
    ['names a kind that it does not define', { kind: 'pump' }, 'machines.intake.kind', 'pump'],
    ['names a line that is not there', { line: 'z' }, 'machines.intake.line', 'z'],
    [
      'names a tag that the machine does not have',
      { signals: { vibration: 'shake' } },
      'machines.intake.signals.vibration',
      'a.intake.shake',
    ],
    ['limits a signal that is not judged', { limits: { noise: {} } }, 'machines.intake.limits', 'noise'],
  ] as const)('that %s is told which', (_, change, subject, got) => {
    expect(problem(({ machines }) => ({ machines: first(machines, change) }))).toMatchObject({
      subject,
      got,
    });
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
