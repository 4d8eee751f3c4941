import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import type { LineGraph } from '../../../server/contract/line-graph.ts';
import { bestOf } from './key-figures.ts';
import { lineOrder, type LineOrder } from './line-order.ts';
import { rejectFigures, type RejectFigures } from './reject-figures.ts';

/** Which figures the ribbon needs, found by kind: nothing here knows a plant. */
export interface LineFigures {
  readonly order: LineOrder;
  readonly feed: FigureDescription | undefined;
  readonly clean: FigureDescription | undefined;
  readonly treated: FigureDescription | undefined;
  readonly closure: FigureDescription | undefined;
  /** One for each machine of the order; null where nothing leaves. */
  readonly rejects: readonly (RejectFigures | null)[];
  /** Figure id by the stream whose mass flow it is. */
  readonly flowFigures: ReadonlyMap<string, string>;
  /** Index of the machine behind which seed is treated; null without a treater. */
  readonly treatedFrom: number | null;
  /** Gap in which the clean seed flows: behind the last machine that takes something out, before any treater. */
  readonly cleanGap: number;
}

export function lineFigures(graph: LineGraph, figures: readonly FigureDescription[]): LineFigures {
  const order = lineOrder(graph);
  const now = (kind: 'feed-rate' | 'clean-rate' | 'treated-rate') =>
    bestOf(figures, { line: graph.id, kind, windows: ['now', 'ten-minutes'] });
  const [feed, clean, treated] = [now('feed-rate'), now('clean-rate'), now('treated-rate')];
  const treater = order.machines.findIndex(({ kind }) => kind === 'treater');
  const cleanGap = order.rejects.findLastIndex((streams) => streams.length > 0) + 1;
  const rejects = order.machines.map(({ id }, index) => {
    const streams = order.rejects[index] ?? [];
    if (streams.length === 0) return null;
    return rejectFigures(
      figures,
      id,
      streams.map((stream) => stream.id),
    );
  });
  const flowFigures = new Map<string, string>();
  const flowsIn = (figure: FigureDescription | undefined, gap: number) => {
    const stream = figure?.stream ?? order.gaps[gap]?.[0]?.id;
    if (figure !== undefined && stream !== undefined) flowFigures.set(stream, figure.id);
  };
  flowsIn(feed, feedGap(order));
  flowsIn(clean, cleanGap);
  if (treater !== -1) flowsIn(treated, treater + 1);
  for (const [index, reject] of rejects.entries())
    addRejects(flowFigures, order.rejects[index] ?? [], reject);
  return {
    order,
    feed,
    clean,
    treated,
    closure: bestOf(figures, { line: graph.id, kind: 'closure', windows: ['now', 'ten-minutes', 'lot'] }),
    rejects,
    flowFigures,
    treatedFrom: treater === -1 ? null : treater,
    cleanGap,
  };
}

/** The first gap through which something flows. */
function feedGap(order: LineOrder): number {
  return Math.max(
    0,
    order.gaps.findIndex((streams) => streams.length > 0),
  );
}

function addRejects(
  flowFigures: Map<string, string>,
  streams: readonly { readonly id: string }[],
  reject: RejectFigures | null,
): void {
  const rate = reject?.rate;
  if (rate === undefined) return;
  const stream = rate.stream ?? streams[0]?.id;
  if (stream !== undefined) flowFigures.set(stream, rate.id);
}
