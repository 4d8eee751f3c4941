import type { PlantConfig } from '../config/plant-config.ts';
import { Fault } from '../contract/faults.ts';
import type { FigureDescription } from '../contract/figure-message.ts';

/**
 * Refuses renamings that lead to nothing, or away from a name that is still in use.
 *
 * @throws Fault CONFIG_REFERENCE
 */
export function refuseWrongRenames(config: PlantConfig, figures: readonly FigureDescription[]): void {
  const names = [...config.tags, ...figures].map(({ id }) => id);
  const isUsed = (name: string) =>
    names.some((known) => (name.endsWith('.') ? known.startsWith(name) : known === name));
  for (const [index, { from, to }] of config.renamed.entries()) {
    const subject = `renamed.${index}`;
    if (from.endsWith('.') !== to.endsWith('.')) {
      throw refusal(`${subject}.to`, to, `a name that ends as ${from} does`);
    }
    if (!isUsed(to)) throw refusal(`${subject}.to`, to, 'a tag or figure of the plant, or their beginning');
    if (isUsed(from)) throw refusal(`${subject}.from`, from, 'a name that no tag or figure has any more');
  }
}

function refusal(subject: string, got: string, expected: string): Fault {
  const remedy = 'correct it or remove the entry; server not started';
  return new Fault('CONFIG_REFERENCE', { subject, got, expected, remedy });
}
