import { alarmProblems } from '../alarms/alarm-problems.ts';
import type { PlantConfig } from '../config/plant-config.ts';
import { Fault } from '../contract/faults.ts';
import type { FigureDescription } from '../contract/figure-message.ts';

/**
 * Refuses a configuration whose alarm rules or bands speak of a tag or figure that this plant does not have. It
 * shows only here: which figures there are follows from the lines.
 *
 * @throws Fault CONFIG_REFERENCE, or CONFIG_RANGE for limits out of order; each names rule, key, value and remedy.
 */
export function refuseWrongRules(config: PlantConfig, figures: readonly FigureDescription[]): void {
  const unitOf = new Map(figures.map(({ id, unit }) => [id, unit]));
  refuseWrongBands(config, unitOf);
  const [problem] = alarmProblems(config.alarms, {
    tags: new Map(config.tags.map(({ id, unit }) => [id, unit])),
    figures: unitOf,
    graphs: config.lines,
  });
  if (problem === undefined) return;
  const { remedy } = problem;
  const told = remedy.endsWith('server not started') ? remedy : `${remedy}; server not started`;
  throw new Fault(problem.code, { ...problem, remedy: told });
}

/** A band under a misspelt name would silently never be shown. */
function refuseWrongBands(config: PlantConfig, figures: ReadonlyMap<string, unknown>): void {
  for (const { line, bands } of config.settings) {
    const unknown = Object.keys(bands).find((figure) => !figures.has(figure));
    if (unknown === undefined) continue;
    throw new Fault('CONFIG_REFERENCE', {
      subject: `lines.${line}.bands`,
      got: unknown.slice(line.length + 1),
      expected: 'a figure of this line',
      remedy: 'correct the name or remove the band; server not started',
    });
  }
}
