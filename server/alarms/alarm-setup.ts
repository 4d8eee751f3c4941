import type { AlarmConfiguration, AlarmRule, AlarmTerm } from '../contract/alarm-rule.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { Ear } from './advance-alarm.ts';
import { alarmPlan, type AlarmPlan } from './alarm-plan.ts';
import { stopGraph, type StopGraph } from './stop-graph.ts';

/** Everything about the alarms that stays the same while the configuration stays the same. */
export interface AlarmSetup {
  readonly plans: readonly AlarmPlan[];
  readonly slotOf: ReadonlyMap<string, number>;
  /** Who listens to a tag or figure. */
  readonly earsOf: ReadonlyMap<string, readonly Ear[]>;
  readonly stopGraphs: readonly StopGraph[];
}

/**
 * Rules made ready to run.
 *
 * @throws RangeError when an id is there twice; the other faults of a configuration are told by `alarmProblems`.
 */
export function alarmSetup(configuration: AlarmConfiguration, graphs: readonly LineGraph[]): AlarmSetup {
  const { rules, firstStop } = configuration;
  const ordered = new Set(firstStop.map(({ line }) => line));
  const plans = rules.map((rule, slot) => alarmPlan(rule, slot, ordered.has(rule.line)));
  const slotOf = new Map(plans.map((plan) => [plan.rule.id, plan.slot]));
  if (slotOf.size !== rules.length) throw new RangeError(`CONFIG_REFERENCE alarm rules: ${twiceText(rules)}`);
  return {
    plans,
    slotOf,
    earsOf: earsOf(plans),
    stopGraphs: firstStop.flatMap((settings) =>
      graphs.filter((graph) => graph.id === settings.line).map((graph) => stopGraph(plans, graph, settings)),
    ),
  };
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
