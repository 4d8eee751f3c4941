import type { LineGraph, Stream } from '../contract/line-graph.ts';
import type { LineLayout } from './line-layout.ts';

/** A weighed stream, and the weighed stream before it whose changes should come again in it. */
export interface LagPair {
  readonly stream: Stream;
  readonly from: Stream;
  /** The main streams that seed takes from the one to the other, in order. */
  readonly between: readonly Stream[];
}

/**
 * The streams whose lag the readings may tell. A bin swallows the changes of what falls into it, so each stretch between
 * two bins is looked at by itself: there, transit is what belts and beds take.
 */
export function lagPairs(graph: LineGraph, layout: LineLayout): readonly LagPair[] {
  const weighed = [
    ...layout.path.map((stream, place) => ({ stream, place })),
    ...layout.rejects.map(({ stream, place }) => ({ stream, place })),
  ].filter(({ stream }) => stream.massFlowTag !== null);
  return weighed.flatMap(({ stream, place }) => {
    const fromPlace = referencePlace(graph, layout.path, place);
    const from = layout.path[fromPlace];
    if (from === undefined || from.id === stream.id) return [];
    const between = layout.path.slice(fromPlace + 1, place + 1);
    return [{ stream, from, between }];
  });
}

/** Place of the first weighed stream behind the last bin that seed has left before `path[place]`. */
function referencePlace(graph: LineGraph, path: readonly Stream[], place: number): number {
  const isBin = (machine: string | null) =>
    graph.machines.some(({ id, kind }) => id === machine && kind === 'bin');
  const behindBin = path.slice(0, place + 1).findLastIndex(({ from }) => isBin(from));
  const start = Math.max(0, behindBin);
  const found = path.slice(start, place + 1).findIndex(({ massFlowTag }) => massFlowTag !== null);
  return found === -1 ? -1 : start + found;
}
