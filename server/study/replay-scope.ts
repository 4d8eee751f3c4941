import type { AlarmConfiguration, AlarmRule, Premise } from '../contract/alarm-rule.ts';

/** What a replay has to play: the rules concerned, what they listen to, and how far back they look. */
export interface ReplayScope {
  readonly rules: readonly string[];
  readonly subjects: readonly string[];
  readonly leadMs: number;
}

const LEAD_MS_MIN = 600_000;
const LEAD_MS_MAX = 86_400_000;

/** The rules touched, with all that they are put in order with: a stop cannot be judged without the others. */
export function replayScope(
  configurations: readonly AlarmConfiguration[],
  touched: readonly string[],
): ReplayScope {
  const all = configurations.flatMap(({ rules }) => rules);
  const named = new Set(touched);
  const stopLines = new Set(all.filter((rule) => named.has(rule.id) && isStop(rule)).map(({ line }) => line));
  const concerned = all.filter((rule) => named.has(rule.id) || (isStop(rule) && stopLines.has(rule.line)));
  const ids = new Set(concerned.map(({ id }) => id));
  const subjects = new Set(concerned.flatMap(subjectsOf));
  let leadMs = Math.max(LEAD_MS_MIN, ...concerned.map(lookBackMs));
  for (const { suppressions, firstStop } of configurations) {
    for (const { rules, while: premise } of suppressions) {
      if (!rules.some((id) => ids.has(id))) continue;
      for (const { subject } of premise.all) subjects.add(subject);
      leadMs = Math.max(leadMs, premiseMs(premise));
    }
    for (const { line, latch } of firstStop)
      if (latch !== undefined && stopLines.has(line)) subjects.add(latch.tag);
  }
  return { rules: [...ids], subjects: [...subjects], leadMs: Math.min(leadMs, LEAD_MS_MAX) };
}

/** A configuration of these rules alone. */
export function narrowedTo(configuration: AlarmConfiguration, ids: ReadonlySet<string>): AlarmConfiguration {
  return {
    ...configuration,
    rules: configuration.rules.filter(({ id }) => ids.has(id)),
    suppressions: configuration.suppressions
      .map((suppression) => ({ ...suppression, rules: suppression.rules.filter((id) => ids.has(id)) }))
      .filter(({ rules }) => rules.length > 0),
  };
}

function isStop(rule: AlarmRule): boolean {
  return rule.kind === 'run-contact' || (rule.kind === 'condition' && rule.takes !== undefined);
}

function subjectsOf(rule: AlarmRule): readonly string[] {
  const terms = [...(rule.armed?.all ?? []), ...(rule.kind === 'condition' ? rule.when : [])];
  return [...terms.map(({ subject }) => subject), ...('subject' in rule ? [rule.subject] : [])];
}

/** How long before an instant something must have been seen for the rule to say the right thing at it. */
export function lookBackMs(rule: AlarmRule): number {
  const ownMs = (rule.onDelayMs ?? 0) + (rule.offDelayMs ?? 0);
  return ownMs + (rule.armed === undefined ? 0 : premiseMs(rule.armed)) + memoryMs(rule);
}

function memoryMs(rule: AlarmRule): number {
  if (rule.kind === 'change') return rule.withinMs;
  return rule.kind === 'drift' ? (rule.learnSamples + 1) * rule.sampleMs : 0;
}

function premiseMs({ afterMs = 0, lastsMs = 0 }: Premise): number {
  return afterMs + lastsMs;
}
