import { alarmSetup } from '../alarms/alarm-setup.ts';
import { SHELVED_MS_MAX } from '../alarms/order-refusal.ts';
import { priorityOfCard } from '../alarms/priority-of-card.ts';
import type { AlarmCatalogue } from '../contract/alarm-catalogue.ts';
import type { AlarmConfiguration } from '../contract/alarm-rule.ts';
import type { LineGraph } from '../contract/line-graph.ts';

/** What the configuration says of alarms, for those who look at them. */
export function alarmCatalogue(
  configuration: AlarmConfiguration,
  graphs: readonly LineGraph[],
): AlarmCatalogue {
  const { plans } = alarmSetup(configuration, graphs);
  return {
    rules: plans.map(({ rule, subject }) => {
      const { id, line, machine } = rule;
      return { id, line, machine, subject, rule };
    }),
    cards: Object.fromEntries(
      Object.entries(configuration.cards).map(([name, card]) => [
        name,
        { ...card, priority: priorityOfCard(card, configuration.priorities) },
      ]),
    ),
    suppressions: [...configuration.suppressions],
    shelvedMsMax: SHELVED_MS_MAX,
  };
}
