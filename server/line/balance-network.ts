import type { Matrix } from '../calc/matrix.ts';
import type { LineGraph, Machine, Stream } from '../contract/line-graph.ts';
import type { LineLayout } from './line-layout.ts';

/** One flow of the balance. Only streams have an instrument that can be named. */
export type BalanceFlow =
  | { readonly is: 'stream'; readonly stream: Stream; readonly at: number }
  /** Dust and the like that no scale sees: known from the configuration, within an error. */
  | { readonly is: 'losses' }
  /** Treatment liquid less the water that a dryer takes. */
  | { readonly is: 'liquid' }
  /** What a bin or hopper gained. */
  | { readonly is: 'bin'; readonly machine: Machine; readonly at: number };

/** Balances around what lies between two weighed streams: a row each, +1 for what goes in, -1 for what comes out. */
export interface BalanceNetwork {
  readonly flows: readonly BalanceFlow[];
  readonly balances: Matrix;
  /** Place of the last stream: all flows are taken for the seed that is there. */
  readonly seenAt: number;
}

/** The balances of a line, from its graph alone: one between each weighed main stream and the next. */
export function balanceNetwork(graph: LineGraph, layout: LineLayout): BalanceNetwork {
  const weighed = layout.path.flatMap((stream, at) => (isWeighed(stream) ? [{ stream, at }] : []));
  const flows: BalanceFlow[] = weighed.map(({ stream, at }) => ({ is: 'stream', stream, at }));
  const envelopes = weighed.slice(1).map((last, index) => {
    const inside = insideOf(graph, layout, { first: weighed[index]?.at ?? 0, last: last.at });
    const start = flows.length;
    flows.push(...inside.map(({ flow }) => flow));
    return { index, start, signs: inside.map(({ sign }) => sign) };
  });
  const balances = envelopes.map(({ index, start, signs }) =>
    flows.map((_, column) => {
      if (column === index) return 1;
      if (column === index + 1) return -1;
      return signs[column - start] ?? 0;
    }),
  );
  return { flows, balances, seenAt: weighed.at(-1)?.at ?? -1 };
}

interface Signed {
  readonly flow: BalanceFlow;
  readonly sign: number;
}

function insideOf(
  graph: LineGraph,
  layout: LineLayout,
  ends: { readonly first: number; readonly last: number },
): readonly Signed[] {
  const rejects = layout.rejects.filter(({ place }) => place > ends.first && place <= ends.last);
  const machines = layout.path.slice(ends.first, ends.last).flatMap(({ to }, index) => {
    const machine = graph.machines.find(({ id }) => id === to);
    return machine === undefined ? [] : [{ machine, at: ends.first + index }];
  });
  const gathers = ({ kind, contentsTag = null }: Machine) => kind === 'bin' || contentsTag !== null;
  const isTreated = machines.some(({ machine }) => machine.id === layout.treater?.id);
  return [
    ...rejects.map(({ stream, place }): Signed => {
      return { flow: { is: 'stream', stream, at: place }, sign: -1 };
    }),
    ...(rejects.length > 0 ? [{ flow: { is: 'losses' } as const, sign: -1 }] : []),
    ...(isTreated && layout.liquids.length > 0 ? [{ flow: { is: 'liquid' } as const, sign: 1 }] : []),
    ...machines
      .filter(({ machine }) => gathers(machine))
      .map(({ machine, at }): Signed => ({ flow: { is: 'bin', machine, at }, sign: -1 })),
  ];
}

function isWeighed({ massFlowTag, massTotalTag }: Stream): boolean {
  return massFlowTag !== null || massTotalTag !== null;
}
