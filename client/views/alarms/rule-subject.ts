import type { PlantDescription } from '../../../server/contract/plant-description.ts';

export interface RuleSubject {
  /** Tag or figure; the rule's own id where none is named in it. */
  readonly subject: string;
  readonly machine: string | null;
}

/** A journal line names its rule, whose id begins with the tag, figure or machine that it watches. */
export function subjectOf(rule: string, plant: PlantDescription): RuleSubject {
  const things = [
    ...plant.figures.map(({ id, machine }) => ({ id, machine })),
    ...plant.tags.map(({ id, machine }) => ({ id, machine })),
  ];
  const begun = things.filter(({ id }) => rule === id || rule.startsWith(`${id}.`));
  const longest = begun.toSorted((one, other) => other.id.length - one.id.length)[0];
  if (longest !== undefined) return { subject: longest.id, machine: longest.machine };
  const [line, second] = rule.split('.');
  const machines = plant.lines.find(({ id }) => id === line)?.machines ?? [];
  const machine = machines.find(({ id }) => id === second)?.id ?? null;
  return { subject: rule, machine };
}
