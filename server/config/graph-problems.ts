import type { LineGraph, Machine, Stream } from '../contract/line-graph.ts';
import type { LineSettings } from '../contract/line-settings.ts';
import type { TagDescription } from '../contract/tag-description.ts';
import type { UnitCode } from '../contract/unit-code.ts';
import type { ReferenceProblem } from './reference-problem.ts';

/** What a graph and its tags cannot mean, though every name is defined: each figure would be wrong or never known. */
export function* graphProblems(
  graph: LineGraph,
  settings: LineSettings | undefined,
  tags: readonly TagDescription[],
): Generator<ReferenceProblem> {
  const at = `lines.${graph.id}`;
  yield* wayProblems(`${at}.streams`, graph);
  for (const stream of graph.streams) yield* endProblems(`${at}.streams.${stream.id}`, stream);
  const unitOf = new Map(tags.map(({ id, unit }) => [id, unit]));
  for (const machine of graph.machines)
    yield* unitProblems(`${at}.machines.${machine.id}`, machineTags(machine), unitOf);
  for (const stream of graph.streams)
    yield* unitProblems(`${at}.streams.${stream.id}`, streamTags(stream), unitOf);
  yield* routeProblems(`${at}.routes`, graph, settings);
}

function* endProblems(subject: string, { role, from, to }: Stream): Generator<ReferenceProblem> {
  if (from === null && to === null) {
    const expected = 'a machine that it leaves or enters';
    yield problem({ subject, got: 'neither "from" nor "to"', expected, remedy: 'name at least one' });
  } else if (from === to) {
    const got = `from and to ${from ?? ''}`;
    yield problem({ subject, got, expected: 'two different ends', remedy: 'correct one of them' });
  }
  const needed: Readonly<Partial<Record<Stream['role'], string>>> = { reject: 'from', liquid: 'to' };
  const missing =
    (role === 'reject' && from === null) || (role === 'liquid' && to === null) ? needed[role] : undefined;
  if (missing !== undefined) {
    const expected = `a machine as "${missing}"`;
    yield problem({ subject, got: `a ${role} without "${missing}"`, expected, remedy: 'name the machine' });
  }
}

/** Main streams make ways from a source, outside the line or a bin, to a sink, outside the line or a bin. */
function* wayProblems(subject: string, graph: LineGraph): Generator<ReferenceProblem> {
  const main = graph.streams.filter(({ role }) => role === 'main');
  const isBin = (id: string | null) => graph.machines.some((one) => one.id === id && one.kind === 'bin');
  const isSource = (id: string | null) => id === null || (isBin(id) && !main.some(({ to }) => to === id));
  const isSink = (id: string | null) => id === null || (isBin(id) && !main.some(({ from }) => from === id));
  const fromSource = grown(main, isSource, 'onward');
  const stranded = main.find(({ from }) => !fromSource.has(from));
  if (stranded !== undefined) {
    const got = `${stranded.id} leaves ${stranded.from ?? ''}, which no seed reaches`;
    const expected = 'a way of main streams from outside the line to each machine';
    yield problem({ subject, got, expected, remedy: 'add the missing stream' });
  }
  if (!main.some(({ from }) => isSource(from))) {
    const expected = 'a main stream without "from", or from a bin: the feed';
    yield problem({ subject, got: 'none', expected, remedy: 'add it' });
    return;
  }
  const toSink = grown(main, isSink, 'back');
  const blind = main.find(({ to }) => !toSink.has(to));
  if (blind !== undefined) {
    const got = `${blind.id} enters ${blind.to ?? ''}, from where seed never leaves the line`;
    const expected = 'a way of main streams from each machine out of the line or into a bin';
    yield problem({ subject, got, expected, remedy: 'add the missing stream' });
  }
}

/** All ends that streams connect with those that count by themselves. */
function grown(
  main: readonly Stream[],
  isStart: (id: string | null) => boolean,
  way: 'onward' | 'back',
): ReadonlySet<string | null> {
  const ends = main.flatMap(({ from, to }) => [from, to]);
  const reached = new Set<string | null>(ends.filter(isStart));
  for (let before = -1; before !== reached.size;) {
    before = reached.size;
    for (const { from, to } of main) {
      const [near, far] = way === 'onward' ? [from, to] : [to, from];
      if (reached.has(near)) reached.add(far);
    }
  }
  return reached;
}

type Named = readonly (readonly [string, string | null | undefined, UnitCode])[];

function machineTags(machine: Machine): Named {
  return [
    ['running', machine.runningTag, 'state'],
    ['bypassed', machine.bypassedTag, 'state'],
    ['motorCurrent', machine.motorCurrentTag, 'A'],
    ['contents', machine.contentsTag, 'kg'],
  ];
}

function streamTags(stream: Stream): Named {
  return [
    ['massFlow', stream.massFlowTag, 'kg/h'],
    ['massTotal', stream.massTotalTag, 'kg'],
    ['volumeFlow', stream.volumeFlowTag, 'mL/min'],
    ['moisture', stream.moistureTag, '1'],
    ['liquid.tankMass', stream.liquid?.tankMassTag, 'kg'],
  ];
}

function* unitProblems(
  at: string,
  named: Named,
  unitOf: ReadonlyMap<string, UnitCode>,
): Generator<ReferenceProblem> {
  for (const [key, tag, unit] of named) {
    if (tag == null) continue;
    const found = unitOf.get(tag);
    const subject = `${at}.${key}`;
    if (found === undefined) {
      const expected = "a tag of one of the line's machines";
      yield problem({ subject: at, got: tag, expected, remedy: 'add the tag or correct the name' });
    } else if (found !== unit) {
      const expected = `a tag in ${unit}`;
      const remedy = 'name another tag, or give this one the unit and factor that fit';
      yield problem({ subject, got: `${tag} in ${found}`, expected, remedy });
    }
  }
}

function* routeProblems(
  subject: string,
  graph: LineGraph,
  settings: LineSettings | undefined,
): Generator<ReferenceProblem> {
  for (const { name, bypassed } of settings?.routes ?? []) {
    for (const id of bypassed) {
      const machine = graph.machines.find((one) => one.id === id);
      if (machine !== undefined && machine.bypassedTag !== null) continue;
      const got = machine === undefined ? id : `${id}, which has no "bypassed" tag`;
      const expected = 'machines of the line that can be bypassed';
      const remedy = 'correct the name, or add the tag of its gate';
      yield problem({ subject: `${subject}.${name}`, got, expected, remedy });
    }
  }
}

function problem(parts: Omit<ReferenceProblem, 'isAlarm'>): ReferenceProblem {
  return { ...parts, isAlarm: false };
}
