import type { LineGraph, Machine, Stream } from '../../../server/contract/line-graph.ts';

/** A line unrolled for drawing: its machines from left to right, and what flows between and out of them. */
export interface LineOrder {
  readonly machines: readonly Machine[];
  /**
   * The main streams that cross the gap before machine i; one gap more than machines, the last one behind the last
   * machine. Usually one stream; several where seed goes two ways.
   */
  readonly gaps: readonly (readonly Stream[])[];
  /** What leaves at machine i. */
  readonly rejects: readonly (readonly Stream[])[];
}

/** Orders the machines along their main streams. Machines on no main stream serve the line and are left out. */
export function lineOrder(graph: LineGraph): LineOrder {
  const main = graph.streams.filter(({ role }) => role === 'main');
  const onLine = graph.machines.filter(({ id }) => main.some(({ from, to }) => from === id || to === id));
  const machines = alongStreams(onLine, main);
  const place = new Map(machines.map(({ id }, index) => [id, index]));
  const placeOf = (id: string | null) => (id === null ? undefined : place.get(id));
  const gaps = Array.from({ length: machines.length + 1 }, (_, gap) =>
    main.filter((stream) => crosses(gap, placeOf(stream.from), placeOf(stream.to))),
  );
  const rejects = machines.map(({ id }) =>
    graph.streams.filter(({ role, from }) => role === 'reject' && from === id),
  );
  return { machines, gaps, rejects };
}

/** Takes again and again the first declared machine whose sources are all placed; a circle is broken where it stands. */
function alongStreams(machines: readonly Machine[], main: readonly Stream[]): Machine[] {
  const waiting = [...machines];
  const placed: Machine[] = [];
  while (waiting.length > 0) {
    const isWaiting = (id: string | null) => waiting.some((machine) => machine.id === id);
    const free = waiting.findIndex(
      ({ id }) => !main.some(({ from, to }) => to === id && from !== id && isWaiting(from)),
    );
    placed.push(...waiting.splice(Math.max(free, 0), 1));
  }
  return placed;
}

/** A stream from outside enters just before its machine; one to the outside leaves just behind it. */
function crosses(gap: number, from: number | undefined, to: number | undefined): boolean {
  const start = from ?? (to === undefined ? undefined : to - 1);
  const end = to ?? (from === undefined ? undefined : from + 1);
  return start !== undefined && end !== undefined && start < gap && gap <= end;
}
