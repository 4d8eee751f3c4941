import type { MachineEntry, MachineSettings } from '../contract/machine-settings.ts';
import type { PlantConfig } from './plant-config.ts';

export interface MachineProblem {
  readonly subject: string;
  readonly got: string;
  readonly expected: string;
  readonly remedy: string;
}

/** The first name in the file of machines that nothing defines, or that is there twice; null when all is there. */
export function machineProblem(settings: MachineSettings, config: PlantConfig): MachineProblem | null {
  return problems(settings, config).next().value ?? null;
}

function* problems(settings: MachineSettings, config: PlantConfig): Generator<MachineProblem, undefined> {
  yield* twice(
    'machines',
    settings.machines.map(({ id }) => id),
  );
  yield* twice(
    'signals',
    settings.signals.map(({ signal }) => signal),
  );
  yield* twice(
    'causes',
    settings.causes.map(({ cause }) => cause),
  );
  const lines = config.lines.map(({ id }) => id);
  const tags = config.tags.map(({ id }) => id);
  for (const { line, load, ambient, mains } of settings.influences) {
    yield* unless(lines, { subject: 'influences.line', got: line });
    for (const [name, tag] of Object.entries({ load, ambient, mains })) {
      if (tag !== undefined) yield* unless(tags, { subject: `influences.${name}`, got: `${line}.${tag}` });
    }
  }
  for (const machine of settings.machines) yield* entryProblems(machine, settings, config);
  yield* causeProblems(settings);
  return undefined;
}

function* entryProblems(
  entry: MachineEntry,
  settings: MachineSettings,
  config: PlantConfig,
): Generator<MachineProblem> {
  const subject = `machines.${entry.id}`;
  const graph = config.lines.find(({ id }) => id === entry.line);
  yield* unless(
    config.lines.map(({ id }) => id),
    { subject: `${subject}.line`, got: entry.line },
  );
  const machine = graph?.machines.find(({ id }) => id === entry.machine);
  yield* unless(graph?.machines.map(({ id }) => id) ?? [], {
    subject: `${subject}.machine`,
    got: entry.machine,
  });
  yield* unless(Object.keys(settings.kinds), { subject: `${subject}.kind`, got: entry.kind });
  // What the kind has is left out where the plant does not measure it; what the machine names must be there.
  for (const [signal, tag] of Object.entries(entry.signals ?? {})) {
    const got = `${entry.line}.${entry.machine}.${tag}`;
    yield* unless(machine?.tags ?? [], { subject: `${subject}.signals.${signal}`, got });
  }
  const judged = settings.signals.map(({ signal }) => signal);
  for (const signal of Object.keys(entry.limits ?? {}))
    yield* unless(judged, { subject: `${subject}.limits`, got: signal });
}

function* causeProblems(settings: MachineSettings): Generator<MachineProblem> {
  const judged = settings.signals.map(({ signal }) => signal);
  for (const row of settings.causes) {
    const subject = `causes.${row.cause}`;
    for (const kind of row.kinds)
      yield* unless(Object.keys(settings.kinds), { subject: `${subject}.kinds`, got: kind });
    const named = {
      shows: Object.keys(row.shows),
      supports: Object.keys(row.supports ?? {}),
      leaves: row.leaves ?? [],
    };
    for (const [key, signals] of Object.entries(named)) {
      for (const got of signals) yield* unless(judged, { subject: `${subject}.${key}`, got });
    }
  }
}

function* twice(subject: string, ids: readonly string[]): Generator<MachineProblem> {
  const repeated = ids.find((id, index) => ids.indexOf(id) !== index);
  if (repeated === undefined) return;
  yield { subject, got: `${repeated} twice`, expected: 'each once', remedy: 'rename one of them' };
}

function* unless(
  ids: readonly string[],
  { subject, got }: { readonly subject: string; readonly got: string },
): Generator<MachineProblem> {
  if (ids.includes(got)) return;
  yield { subject, got, expected: `one of ${ids.join(', ')}`, remedy: 'correct the name or add it' };
}
