import type { LineGraph, Machine, Stream } from '../contract/line-graph.ts';

/** What the figures need to know of a line's shape, worked out once from its graph. */
export interface LineLayout {
  /** Main streams in the order in which seed takes them, the feed first. */
  readonly path: readonly Stream[];
  readonly feed: Stream | null;
  /** Places on the path; -1 where there is no such stream. */
  readonly feedPlace: number;
  /** First weighed stream behind the last machine with a reject, before any treatment. */
  readonly clean: Stream | null;
  /** Where clean seed is seen: of `clean`, or of `treated` where only that is weighed. */
  readonly cleanPlace: number;
  /** Last weighed clean seed before the treater. */
  readonly treaterFeed: Stream | null;
  readonly treaterFeedPlace: number;
  /** Of the stream that enters the treater. */
  readonly treaterPlace: number;
  readonly treater: Machine | null;
  /** Last weighed stream behind the treater: seed with its liquid. */
  readonly treated: Stream | null;
  readonly treatedPlace: number;
  /** By machine: the contact that says that its gate sends seed past it. */
  readonly bypassTags: ReadonlyMap<string, string>;
  readonly rejects: readonly RejectOutlet[];
  readonly liquids: readonly Stream[];
}

/** A reject stream, the machine it falls from, and that machine's place on the path. */
export interface RejectOutlet {
  readonly stream: Stream;
  readonly machine: Machine;
  /** Index in the path of the stream by which seed leaves the machine. */
  readonly place: number;
}

/**
 * The shape of a line. Nothing here knows a machine by name: any graph whose main streams make a way from outside
 * the line through its machines will do.
 */
export function lineLayout(graph: LineGraph): LineLayout {
  const path = mainPath(graph);
  const rejects = rejectOutlets(graph, path);
  const treater = graph.machines.find(({ kind }) => kind === 'treater') ?? null;
  const treaterPlace = path.findIndex(({ to }) => treater !== null && to === treater.id);
  const feedPlace = path.findIndex(isWeighed);
  // Place of the stream that leaves the last machine with a reject: from there on seed is clean.
  const firstClean = Math.max(1, ...rejects.map(({ place }) => place));
  const lastUntreated = treaterPlace === -1 ? path.length - 1 : treaterPlace;
  const clean = between(path, firstClean, lastUntreated).find(isWeighed) ?? null;
  const treaterFeed = between(path, firstClean, treaterPlace).findLast(isWeighed) ?? null;
  const treated = treaterPlace === -1 ? null : (path.slice(treaterPlace + 1).findLast(isWeighed) ?? null);
  const placeOf = (stream: Stream | null) => path.findIndex((other) => other === stream);
  return {
    path,
    feed: path[feedPlace] ?? null,
    feedPlace,
    clean,
    cleanPlace: placeOf(clean ?? treated),
    treaterFeed,
    treaterFeedPlace: placeOf(treaterFeed),
    treaterPlace,
    treater,
    treated,
    treatedPlace: placeOf(treated),
    bypassTags: bypassTags(graph),
    rejects,
    liquids: graph.streams.filter(({ role }) => role === 'liquid'),
  };
}

function between(path: readonly Stream[], first: number, last: number): readonly Stream[] {
  return path.slice(first, last + 1);
}

function bypassTags(graph: LineGraph): ReadonlyMap<string, string> {
  return new Map(
    graph.machines.flatMap(({ id, bypassedTag }) => (bypassedTag === null ? [] : [[id, bypassedTag]])),
  );
}

/**
 * Where a machine may branch, the first main stream named in the configuration is the way. It begins outside the line, or
 * at a bin that no stream fills.
 */
function mainPath(graph: LineGraph): readonly Stream[] {
  const main = graph.streams.filter(({ role }) => role === 'main');
  const path: Stream[] = [];
  const isSource = (id: string | null) => id === null || !main.some(({ to }) => to === id);
  const first = main.find(({ from }) => from === null) ?? main.find(({ from }) => isSource(from));
  for (let next = first; next !== undefined;) {
    if (path.includes(next)) break;
    path.push(next);
    const at: string | null = next.to;
    next = at === null ? undefined : main.find(({ from }) => from === at);
  }
  return path;
}

function rejectOutlets(graph: LineGraph, path: readonly Stream[]): readonly RejectOutlet[] {
  const outlets: RejectOutlet[] = [];
  for (const stream of graph.streams) {
    if (stream.role !== 'reject') continue;
    const machine = graph.machines.find(({ id }) => id === stream.from);
    const place = path.findIndex(({ from }) => from === stream.from);
    if (machine !== undefined && place !== -1) outlets.push({ stream, machine, place });
  }
  return outlets.toSorted((a, b) => a.place - b.place);
}

function isWeighed(stream: Stream): boolean {
  return stream.massFlowTag !== null || stream.massTotalTag !== null;
}
