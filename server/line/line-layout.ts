import type { LineGraph, Machine, Stream } from '../contract/line-graph.ts';

/** What the figures need to know of a line's shape, worked out once from its graph. */
export interface LineLayout {
  /** Main streams in the order in which seed takes them, the feed first. */
  readonly path: readonly Stream[];
  readonly feed: Stream | null;
  /** First weighed stream behind the last machine with a reject, before any treatment. */
  readonly clean: Stream | null;
  /** Weighed seed that enters the treater. */
  readonly treaterFeed: Stream | null;
  readonly treater: Machine | null;
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
  const treater = graph.machines.find(({ kind }) => kind === 'treater') ?? null;
  const treaterPlace = path.findIndex(({ to }) => treater !== null && to === treater.id);
  const beforeTreatment = treaterPlace === -1 ? path : path.slice(0, treaterPlace + 1);
  const firstSeparatorOut = lastRejectPlace(graph, path);
  return {
    path,
    feed: path.find(isWeighed) ?? null,
    clean: beforeTreatment.slice(firstSeparatorOut).find(isWeighed) ?? null,
    treaterFeed: treaterPlace === -1 ? null : (path.slice(0, treaterPlace + 1).findLast(isWeighed) ?? null),
    treater,
    rejects: rejectOutlets(graph, path),
    liquids: graph.streams.filter(({ role }) => role === 'liquid'),
  };
}

/** Where a machine may branch, the first main stream named in the configuration is the way. */
function mainPath(graph: LineGraph): readonly Stream[] {
  const main = graph.streams.filter(({ role }) => role === 'main');
  const path: Stream[] = [];
  for (let next = main.find(({ from }) => from === null); next !== undefined;) {
    if (path.includes(next)) break;
    path.push(next);
    const at: string | null = next.to;
    next = at === null ? undefined : main.find(({ from }) => from === at);
  }
  return path;
}

/** Place of the stream that leaves the last machine with a reject: from there on seed is clean. */
function lastRejectPlace(graph: LineGraph, path: readonly Stream[]): number {
  const places = rejectOutlets(graph, path).map(({ place }) => place);
  return Math.max(1, ...places);
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
  return stream.massFlowTag !== null;
}
