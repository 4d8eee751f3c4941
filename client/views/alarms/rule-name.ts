import type { AlarmCatalogue } from '../../../server/contract/alarm-catalogue.ts';
import type { ThingNames } from '../../../server/contract/format/thing-names.ts';

/** What a rule watches, by the names of the plant, and its own last word; the bare id where the rule is gone. */
export function ruleNamer(from: {
  readonly names: ThingNames;
  readonly catalogue: AlarmCatalogue | null;
}): (rule: string) => string {
  const { names, catalogue } = from;
  return (rule) => {
    const known = catalogue?.rules.find(({ id }) => id === rule);
    if (known === undefined) return rule;
    const own = rule.split('.').at(-1)?.replaceAll('-', ' ') ?? rule;
    const subject = names.subject(known.subject);
    const machine = known.machine === null ? '' : names.machine(known.machine);
    if (known.rule.kind === 'run-contact' && machine !== '') return `${machine} (${own})`;
    const thing = subject.startsWith(machine) ? subject : `${machine}: ${subject}`;
    return `${thing} (${own})`;
  };
}
