import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { alarmProblems } from '#server/alarms/alarm-problems.ts';
import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { loadConfig } from '#server/config/load-config.ts';
import { lineSetup } from '#server/line/line-setup.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';

let config: PlantConfig;
beforeAll(async () => {
  config = await loadConfig(fileURLToPath(new URL('../../config/plant.yaml', import.meta.url)));
});

describe("the demo's alarm rules", () => {
  it('speak of nothing that the demo plant does not have, in its units', () => {
    const tags = new Map(config.tags.map(({ id, unit }) => [id, unit]));
    const figures = new Map(figuresOf(config).map(({ id, unit }) => [id, unit]));
    const known = { tags, figures, graphs: config.lines };
    expect(alarmProblems(config.alarms, known)).toEqual([]);
  });

  it('have a stop rule for every run contact of the line, pumps aside', () => {
    const contacts = config.tags.filter(({ id }) => id.endsWith('running') && !id.includes('.pump-'));
    const watched = config.alarms.rules.flatMap((rule) =>
      rule.kind === 'run-contact' ? [rule.subject] : [],
    );
    expect(contacts.map(({ id }) => id).filter((id) => !watched.includes(id))).toEqual([]);
  });

  it('know that the destoner takes what feeds it, and nothing beyond the clean bin', () => {
    const setup = alarmSetup(config.alarms, config.lines);
    const [graph] = setup.stopGraphs;
    const takenBy = (id: string) =>
      [...(graph?.takes.get(setup.slotOf.get(id) ?? -1) ?? [])].map((slot) => setup.plans[slot]?.rule.id);
    expect(takenBy('a.destoner.stopped')).toEqual([
      'a.elevator-2.stopped',
      'a.sizer.stopped',
      'a.length-grader.stopped',
      'a.aspirator.stopped',
      'a.air-screen.stopped',
      'a.scalper.stopped',
      'a.elevator-1.stopped',
      'a.intake.stopped',
    ]);
    expect(takenBy('a.treater.stopped')).toEqual(['a.elevator-3.stopped']);
    expect(takenBy('a.dust-system.fan-stopped')).toEqual(['a.dust-system.stopped', 'a.intake.stopped']);
    expect(takenBy('a.line.emergency-stop')).toHaveLength(
      config.alarms.rules.filter(({ kind }) => kind === 'run-contact').length,
    );
  });
});

function figuresOf({ lines, settings, crops, tags }: PlantConfig) {
  return lines.flatMap((graph, at) => {
    const own = settings[at];
    if (own === undefined) return [];
    const setup = lineSetup({ graph, settings: own, crops, tags, endpointOf: new Map() });
    return setup.plans.map(({ description }) => description);
  });
}
