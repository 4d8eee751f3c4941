import type { AlarmConfiguration, AlarmRule, AlarmTerm, ResponseCard } from '../contract/alarm-rule.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { Ear } from './advance-alarm.ts';
import { alarmPlan, type AlarmPlan } from './alarm-plan.ts';
import { premisePlan, type PremisePlan } from './premise.ts';
import { priorityOfCard } from './priority-of-card.ts';
import { stopGraph, type StopGraph } from './stop-graph.ts';

/** Everything about the alarms that stays the same while the configuration stays the same. */
export interface AlarmSetup {
  readonly plans: readonly AlarmPlan[];
  readonly slotOf: ReadonlyMap<string, number>;
  /** Every tag or figure that somebody listens to. */
  readonly subjects: ReadonlySet<string>;
  /** Who listens to a tag or figure. */
  readonly earsOf: ReadonlyMap<string, readonly Ear[]>;
  readonly stopGraphs: readonly StopGraph[];
  readonly suppressions: readonly SuppressionPlan[];
  readonly cards: ReadonlyMap<string, ResponseCard>;
}

export interface SuppressionPlan {
  readonly id: string;
  readonly premise: PremisePlan;
  readonly slots: readonly number[];
}

/**
 * Rules made ready to run.
 *
 * @throws RangeError when an id is there twice or a card is missing; the other faults of a configuration are told by `alarmProblems`.
 */
export function alarmSetup(configuration: AlarmConfiguration, graphs: readonly LineGraph[]): AlarmSetup {
  const { rules, firstStop, suppressions } = configuration;
  const cards = new Map(Object.entries(configuration.cards));
  const priorityOf = (card: string) => priorityOfCard(cardNamed(cards, card), configuration.priorities);
  const ordered = new Set(firstStop.map(({ line }) => line));
  const plans = rules.map((rule, slot) =>
    alarmPlan(rule, { slot, priorityOf, ordersStops: ordered.has(rule.line) }),
  );
  const slotOf = new Map(plans.map((plan) => [plan.rule.id, plan.slot]));
  if (slotOf.size !== rules.length) throw new RangeError(`CONFIG_REFERENCE alarm rules: ${twiceText(rules)}`);
  const ears = earsOf(plans);
  const suppressionSubjects = suppressions.flatMap(({ while: premise }) =>
    premise.all.map(({ subject }) => subject),
  );
  return {
    plans,
    slotOf,
    cards,
    subjects: new Set([...ears.keys(), ...suppressionSubjects]),
    earsOf: ears,
    suppressions: suppressions.map((suppression) => ({
      id: suppression.id,
      premise: premisePlan(suppression.while),
      slots: suppression.rules.flatMap((id) => slotOf.get(id) ?? []),
    })),
    stopGraphs: firstStop.flatMap((settings) =>
      graphs.filter((graph) => graph.id === settings.line).map((graph) => stopGraph(plans, graph, settings)),
    ),
  };
}

/** Ids of the alarms of one machine. */
export function alarmsOfMachine({ plans }: AlarmSetup, line: string, machine: string): readonly string[] {
  return plans.flatMap(({ rule }) => (rule.line === line && rule.machine === machine ? [rule.id] : []));
}

function cardNamed(cards: ReadonlyMap<string, ResponseCard>, name: string): ResponseCard {
  const card = cards.get(name);
  if (card !== undefined) return card;
  throw new RangeError(
    `CONFIG_REFERENCE alarm cards: got ${name}, expected the name of a card; add the card`,
  );
}

function twiceText(rules: readonly AlarmRule[]): string {
  const ids = rules.map(({ id }) => id);
  const twice = ids.find((id, index) => ids.indexOf(id) !== index);
  return `got ${twice ?? ''} twice, expected each id once; rename one of them`;
}

function earsOf(plans: readonly AlarmPlan[]): ReadonlyMap<string, readonly Ear[]> {
  const ears = new Map<string, Ear[]>();
  const listen = (subject: string, ear: Ear) => {
    const others = ears.get(subject);
    if (others === undefined) ears.set(subject, [ear]);
    else others.push(ear);
  };
  for (const { slot, rule, armed, when } of plans) {
    const listenToAll = (terms: readonly AlarmTerm[], role: Ear['role']) =>
      terms.forEach(({ subject }, term) => listen(subject, { slot, role, term }));
    // Arming is heard before the question itself, so that what comes at one instant is judged as armed then.
    listenToAll(armed?.terms ?? [], 'armed');
    listenToAll(when, 'when');
    if ('subject' in rule) listen(rule.subject, { slot, role: 'subject', term: 0 });
  }
  return ears;
}
