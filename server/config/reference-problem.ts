import type { AlarmRule } from '../contract/alarm-rule.ts';
import type { LineGraph, Stream } from '../contract/line-graph.ts';
import { graphProblems } from './graph-problems.ts';
import type { PlantConfig } from './plant-config.ts';
import type { PlantFile } from './plant-file.ts';

export interface ReferenceProblem {
  readonly subject: string;
  readonly got: string;
  readonly expected: string;
  readonly remedy: string;
  /** In the alarm rules rather than in the plant's file. */
  readonly isAlarm: boolean;
}

/** The first thing that the configuration names but does not define, or defines twice; null when all is there. */
export function referenceProblem(config: PlantConfig, file: PlantFile): ReferenceProblem | null {
  return problems(config, file).next().value ?? null;
}

function* problems(config: PlantConfig, file: PlantFile): Generator<ReferenceProblem, undefined> {
  yield* twice('lines', idsOf(config.lines));
  yield* twice('endpoints', idsOf(config.endpoints));
  yield* twice('crops', idsOf(config.crops));
  yield* entryProblems(file);
  yield* zone(config.timeZone);
  for (const graph of config.lines) {
    yield* nameProblems(graph);
    const settings = config.settings.find(({ line }) => line === graph.id);
    yield* graphProblems(graph, settings, config.tags);
  }
  for (const rule of config.alarms.rules) yield* ruleProblems(rule, config);
  return undefined;
}

function idsOf(things: readonly { readonly id: string }[]): readonly string[] {
  return things.map(({ id }) => id);
}

/** Names that are gone once the short forms are written out: nothing would miss them. */
function* entryProblems(file: PlantFile): Generator<ReferenceProblem> {
  const groups = Object.keys(file.groups);
  const crops = idsOf(file.crops);
  for (const line of file.lines) {
    const at = `lines.${line.id}`;
    yield* unless(idsOf(file.endpoints), { subject: `${at}.endpoint`, got: line.endpoint });
    yield* unless(crops, { subject: `${at}.defaultCrop`, got: line.defaultCrop });
    for (const machine of line.machines) {
      const subject = `${at}.machines.${machine.id}.groups`;
      for (const group of machine.groups ?? []) yield* unless(groups, { subject, got: group });
    }
  }
  for (const lot of file.firstLots ?? []) {
    yield* unless(idsOf(file.lines), { subject: `firstLots.${lot.number}.line`, got: lot.line });
    yield* unless(crops, { subject: `firstLots.${lot.number}.crop`, got: lot.crop });
  }
}

function* twice(subject: string, ids: readonly string[]): Generator<ReferenceProblem> {
  const repeated = ids.find((id, index) => ids.indexOf(id) !== index);
  if (repeated === undefined) return;
  yield {
    subject,
    got: `${repeated} twice`,
    expected: 'each id once',
    remedy: 'rename one of them',
    isAlarm: false,
  };
}

function* zone(timeZone: string): Generator<ReferenceProblem> {
  try {
    new Intl.DateTimeFormat('en', { timeZone });
  } catch {
    const expected = 'an IANA time zone such as America/Chicago';
    yield { subject: 'timeZone', got: timeZone, expected, remedy: 'correct the name', isAlarm: false };
  }
}

function* nameProblems(graph: LineGraph): Generator<ReferenceProblem> {
  const machines = idsOf(graph.machines);
  yield* twice(`lines.${graph.id}.machines`, machines);
  yield* twice(`lines.${graph.id}.streams`, idsOf(graph.streams));
  for (const machine of graph.machines) {
    yield* twice(`lines.${graph.id}.machines.${machine.id}.tags`, machine.tags);
  }
  for (const stream of graph.streams) {
    const subject = `lines.${graph.id}.streams.${stream.id}`;
    for (const end of endsOf(stream)) yield* unless(machines, { subject, got: end });
  }
}

function endsOf(stream: Stream): readonly string[] {
  return [stream.from, stream.to].filter((end) => end !== null);
}

function* ruleProblems(rule: AlarmRule, config: PlantConfig): Generator<ReferenceProblem> {
  const subject = `rules.${rule.id}`;
  const graph = config.lines.find(({ id }) => id === rule.line);
  yield* unless(idsOf(config.lines), { subject: `${subject}.line`, got: rule.line, isAlarm: true });
  if (rule.machine !== null && graph !== undefined) {
    const machines = idsOf(graph.machines);
    yield* unless(machines, { subject: `${subject}.machine`, got: rule.machine, isAlarm: true });
  }
}

function* unless(
  ids: readonly string[],
  named: { readonly subject: string; readonly got: string; readonly isAlarm?: boolean },
): Generator<ReferenceProblem> {
  if (ids.includes(named.got)) return;
  yield {
    subject: named.subject,
    got: named.got,
    expected: `one of ${ids.join(', ')}`,
    remedy: 'correct the name or add it',
    isAlarm: named.isAlarm ?? false,
  };
}
