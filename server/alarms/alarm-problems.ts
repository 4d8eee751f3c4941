import type { AlarmConfiguration, AlarmRule, AlarmTerm } from '../contract/alarm-rule.ts';
import type { FaultCode, FaultParts } from '../contract/faults.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { UnitCode } from '../contract/unit-code.ts';

export interface AlarmProblem extends FaultParts {
  readonly code: FaultCode;
}

/** What the rules may speak of: the unit of each tag and figure, and the lines. */
export interface KnownThings {
  readonly tags: ReadonlyMap<string, UnitCode>;
  readonly figures: ReadonlyMap<string, UnitCode>;
  readonly graphs: readonly LineGraph[];
}

type Complain = (problem: AlarmProblem) => void;

/** Everything in a configuration of alarms that its schema cannot see: names, units, order of limits. */
export function alarmProblems(
  configuration: AlarmConfiguration,
  known: KnownThings,
): readonly AlarmProblem[] {
  const problems: AlarmProblem[] = [];
  const complain: Complain = (problem) => problems.push(problem);
  const ids = new Set<string>();
  for (const rule of configuration.rules) {
    if (ids.has(rule.id))
      complain(reference(`rules.${rule.id}`, rule.id, 'each id once; rename one of the two'));
    ids.add(rule.id);
    checkPlace(rule, known, complain);
    checkSubjects(rule, known, complain);
    if (rule.kind === 'limit') checkLimits(rule, complain);
    checkCards(rule, configuration, complain);
  }
  checkMatrix(configuration, complain);
  for (const suppression of configuration.suppressions)
    checkSuppression(suppression, { ids, known }, complain);
  checkTakes(configuration.rules, ids, complain);
  checkFirstStop(configuration, { ids, known }, complain);
  return problems;
}

function checkPlace(rule: AlarmRule, known: KnownThings, complain: Complain): void {
  const graph = known.graphs.find(({ id }) => id === rule.line);
  if (graph === undefined) {
    complain(
      reference(`rules.${rule.id}.line`, rule.line, `one of ${listed(known.graphs.map(({ id }) => id))}`),
    );
    return;
  }
  if (!rule.id.startsWith(`${rule.line}.`)) {
    complain(reference(`rules.${rule.id}.id`, rule.id, `it to start with "${rule.line}."`));
  }
  if (rule.machine === null || graph.machines.some(({ id }) => id === rule.machine)) return;
  complain(
    reference(
      `rules.${rule.id}.machine`,
      rule.machine,
      `one of ${listed(graph.machines.map(({ id }) => id))}`,
    ),
  );
}

function checkSubjects(rule: AlarmRule, known: KnownThings, complain: Complain): void {
  const at = `rules.${rule.id}`;
  for (const term of termsOf(rule)) checkTerm(term, { at, known }, complain);
  if (rule.kind === 'condition') return;
  const unit = unitOf(rule.subject, known);
  if (unit === undefined) complain(reference(`${at}.subject`, rule.subject, 'a tag or figure of the plant'));
  else checkUnit(rule, unit, complain);
  const isOfFigure = rule.kind === 'deviation' || (rule.kind === 'drift' && rule.center === 'target');
  if (unit !== undefined && isOfFigure && !known.figures.has(rule.subject)) {
    complain(reference(`${at}.subject`, rule.subject, 'a figure, because tags have no band and no target'));
  }
}

function checkUnit(rule: AlarmRule, unit: UnitCode, complain: Complain): void {
  const at = `rules.${rule.id}`;
  if (rule.kind === 'run-contact' && unit !== 'state') complain(wrongUnit(`${at}.subject`, unit, 'state'));
  if ('unit' in rule && rule.unit !== unit) complain(wrongUnit(`${at}.unit`, rule.unit, unit));
}

function checkTerm(
  term: AlarmTerm,
  { at, known }: { readonly at: string; readonly known: KnownThings },
  complain: Complain,
): void {
  const unit = unitOf(term.subject, known);
  const expected = 'is' in term ? 'state' : term.unit;
  if (unit === undefined) complain(reference(`${at} term`, term.subject, 'a tag or figure of the plant'));
  else if (unit !== expected) complain(wrongUnit(`${at} term ${term.subject}`, expected, unit));
}

function termsOf(rule: AlarmRule): readonly AlarmTerm[] {
  return [...(rule.armed?.all ?? []), ...(rule.kind === 'condition' ? rule.when : [])];
}

const ASCENDING = ['low-low', 'low', 'high', 'high-high'] as const;

function checkLimits(rule: Extract<AlarmRule, { kind: 'limit' }>, complain: Complain): void {
  const limits = ASCENDING.flatMap((side) => rule.limits.filter((entry) => entry.side === side));
  limits.forEach((entry, at) => {
    const below = limits[at - 1];
    if (below === undefined || below.limit < entry.limit) return;
    const subject = `rules.${rule.id}.limits.${entry.side} [${rule.unit}]`;
    const expected = `> ${below.limit}, which is ${below.side}`;
    complain({
      code: 'CONFIG_RANGE',
      subject,
      got: entry.limit,
      expected,
      remedy: 'put the limits in order',
    });
  });
}

function checkCards(rule: AlarmRule, { cards }: AlarmConfiguration, complain: Complain): void {
  const named = [rule.card, ...(rule.kind === 'limit' ? rule.limits.flatMap(({ card }) => card ?? []) : [])];
  for (const card of named) {
    if (!(card in cards))
      complain(reference(`rules.${rule.id}.card`, card, 'the name of a card; an alarm needs one'));
  }
}

function checkMatrix({ priorities }: AlarmConfiguration, complain: Complain): void {
  priorities.forEach(({ withinMs }, at) => {
    const before = priorities[at - 1]?.withinMs ?? 0;
    if (withinMs > before) return;
    const subject = `priorities.${at}.withinMs`;
    complain({
      code: 'CONFIG_RANGE',
      subject,
      got: withinMs,
      expected: `> ${before}`,
      remedy: 'put the rows in order',
    });
  });
}

function checkSuppression(
  suppression: AlarmConfiguration['suppressions'][number],
  { ids, known }: { readonly ids: ReadonlySet<string>; readonly known: KnownThings },
  complain: Complain,
): void {
  const at = `suppressions.${suppression.id}`;
  for (const term of suppression.while.all) checkTerm(term, { at, known }, complain);
  for (const id of suppression.rules)
    if (!ids.has(id)) complain(reference(`${at}.rules`, id, 'the id of a rule'));
}

function checkTakes(rules: readonly AlarmRule[], ids: ReadonlySet<string>, complain: Complain): void {
  for (const rule of rules) {
    const takes = 'takes' in rule && rule.takes !== 'line' ? (rule.takes ?? []) : [];
    for (const id of takes)
      if (!ids.has(id)) complain(reference(`rules.${rule.id}.takes`, id, 'the id of a rule'));
  }
}

function checkFirstStop(
  { firstStop }: AlarmConfiguration,
  { ids, known }: { readonly ids: ReadonlySet<string>; readonly known: KnownThings },
  complain: Complain,
): void {
  for (const { line, latch } of firstStop) {
    const lines = known.graphs.map(({ id }) => id);
    if (!lines.includes(line)) complain(reference('firstStop.line', line, `one of ${listed(lines)}`));
    if (latch === undefined) continue;
    if (!known.tags.has(latch.tag))
      complain(reference(`firstStop.${line}.latch.tag`, latch.tag, 'a tag of the plant'));
    for (const id of Object.values(latch.rules)) {
      if (!ids.has(id)) complain(reference(`firstStop.${line}.latch.rules`, id, 'the id of a rule'));
    }
  }
}

function unitOf(subject: string, { tags, figures }: KnownThings): UnitCode | undefined {
  return tags.get(subject) ?? figures.get(subject);
}

function reference(subject: string, got: string, expected: string): AlarmProblem {
  return { code: 'CONFIG_REFERENCE', subject, got, expected, remedy: 'mend it; server not started' };
}

function wrongUnit(subject: string, got: string, expected: string): AlarmProblem {
  return {
    code: 'CONFIG_REFERENCE',
    subject,
    got,
    expected,
    remedy: 'give the number in that unit; server not started',
  };
}

function listed(names: readonly string[]): string {
  return names.join(', ');
}
