import type { LineGraph } from '../../../server/contract/line-graph.ts';
import type { LineOrder } from './line-order.ts';

/** When seed that enters now reaches the end, and whether bins hold it up for longer than that. */
export interface Arrival {
  readonly machine: string;
  readonly transportMs: number;
  readonly hasBins: boolean;
}

/** Adds up the transport times along the line; where seed goes two ways, the longer one. */
export function arrivalOf(graph: LineGraph, order: LineOrder): Arrival | null {
  const last = order.machines.at(-1);
  if (last === undefined) return null;
  const inner = order.gaps.slice(1, -1);
  const transportMs = inner.reduce(
    (sum, streams) => sum + Math.max(0, ...streams.map((stream) => stream.transportMs)),
    0,
  );
  if (transportMs === 0) return null;
  const hasBins = graph.machines.some(
    ({ kind, id }) => kind === 'bin' && order.machines.some((one) => one.id === id),
  );
  return { machine: last.name, transportMs, hasBins };
}
