import type { FigureDescription, FigureKind, FigureWindow } from '../contract/figure-message.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { UnitCode } from '../contract/unit-code.ts';
import type { Estimate } from './estimate.ts';
import { doseFigure, productDoseFigure } from './dose-figures.ts';
import type { LineContext } from './line-context.ts';
import type { LineLayout, RejectOutlet } from './line-layout.ts';
import {
  closureFigure,
  rateFigure,
  rejectRatioFigure,
  rejectShareFigure,
  yieldFigure,
} from './mass-figures.ts';

/** A figure that this line has, and how to work it out. */
export interface FigurePlan {
  readonly description: FigureDescription;
  readonly work: (context: LineContext) => Estimate;
}

const WINDOW_SUFFIX: Record<FigureWindow, string> = {
  now: '',
  'ten-minutes': '-ten-minutes',
  lot: '-lot',
  shift: '-shift',
};
/** What is kept of a figure's digits; finer is noise and costs bytes for ever. */
const RATIO_STEP = 0.000_01;
const RATE_STEP = 0.1;
const DOSE_STEP = 0.01;

/** Every figure of a line, in the order in which a reader would ask for them. */
export function figurePlans(graph: LineGraph, layout: LineLayout): readonly FigurePlan[] {
  return [
    ...ratePlans(graph, layout),
    ...(['now', 'ten-minutes'] as const).map((window) => yieldPlan(graph, layout, window)),
    ...layout.rejects.flatMap((outlet) => rejectPlans(graph, layout, outlet)),
    closurePlan(graph, layout),
    ...dosePlans(graph, layout),
  ];
}

interface Naming {
  readonly graph: LineGraph;
  readonly machine?: string;
  readonly stream?: string;
  readonly product?: string;
  readonly kind: FigureKind;
  readonly name?: string;
  readonly window?: FigureWindow;
  readonly unit: UnitCode;
  readonly resolution: number;
  readonly sources: readonly (string | null)[];
}

function described(naming: Naming): FigureDescription {
  const { graph, kind, window = 'now' } = naming;
  return {
    id: `${graph.id}.${naming.machine ?? 'line'}.${naming.name ?? kind}${WINDOW_SUFFIX[window]}`,
    line: graph.id,
    machine: naming.machine ?? null,
    stream: naming.stream ?? null,
    product: naming.product ?? null,
    kind,
    window,
    unit: naming.unit,
    resolution: naming.resolution,
    sources: [...new Set(naming.sources.filter((source) => source !== null))],
  };
}

function ratePlans(graph: LineGraph, layout: LineLayout): readonly FigurePlan[] {
  const streams = [
    { kind: 'feed-rate', stream: layout.feed },
    { kind: 'clean-rate', stream: layout.clean },
    { kind: 'treated-rate', stream: layout.treaterFeed },
  ] as const;
  return streams.flatMap(({ kind, stream }) => {
    if (stream === null) return [];
    const sources = [stream.massFlowTag];
    const description = described({
      graph,
      stream: stream.id,
      kind,
      unit: 'kg/h',
      resolution: RATE_STEP,
      sources,
    });
    return [{ description, work: rateFigure(stream.massFlowTag) }];
  });
}

function yieldPlan(graph: LineGraph, layout: LineLayout, window: FigureWindow): FigurePlan {
  const sources = [layout.feed?.massFlowTag ?? null, layout.clean?.massFlowTag ?? null];
  return {
    description: described({ graph, kind: 'yield', window, unit: '1', resolution: RATIO_STEP, sources }),
    work: yieldFigure(window),
  };
}

function rejectPlans(graph: LineGraph, layout: LineLayout, outlet: RejectOutlet): readonly FigurePlan[] {
  const { machine, stream } = outlet;
  // A machine with two rejects has figures for each; one alone needs no longer name.
  const isOnly = layout.rejects.filter((other) => other.machine.id === machine.id).length === 1;
  const naming = (kind: FigureKind) => ({
    graph,
    kind,
    machine: machine.id,
    stream: stream.id,
    ...(isOnly ? {} : { name: `${stream.id}-${kind}` }),
  });
  const feed = layout.feed?.massFlowTag ?? null;
  const upstream = layout.rejects
    .filter(({ place }) => place < outlet.place)
    .map((other) => other.stream.massFlowTag);
  const ratio = { unit: '1', resolution: RATIO_STEP } as const;
  return [
    {
      description: described({
        ...naming('reject-rate'),
        unit: 'kg/h',
        resolution: RATE_STEP,
        sources: [stream.massFlowTag],
      }),
      work: rateFigure(stream.massFlowTag, machine.id),
    },
    {
      description: described({
        ...naming('reject-ratio'),
        ...ratio,
        sources: [stream.massFlowTag, feed, ...upstream],
      }),
      work: rejectRatioFigure(outlet),
    },
    {
      description: described({ ...naming('reject-share'), ...ratio, sources: [stream.massFlowTag, feed] }),
      work: rejectShareFigure(outlet),
    },
  ];
}

function closurePlan(graph: LineGraph, layout: LineLayout): FigurePlan {
  const window = 'ten-minutes';
  const sources = [layout.feed, layout.clean, ...layout.rejects.map(({ stream }) => stream)].map(
    (stream) => stream?.massFlowTag ?? null,
  );
  return {
    description: described({ graph, kind: 'closure', window, unit: '1', resolution: RATIO_STEP, sources }),
    work: closureFigure(window),
  };
}

function dosePlans(graph: LineGraph, layout: LineLayout): readonly FigurePlan[] {
  const { treater, treaterFeed, liquids } = layout;
  if (treater === null || liquids.length === 0) return [];
  const dose = { graph, machine: treater.id, unit: 'mL/bu', resolution: DOSE_STEP } as const;
  const seed = treaterFeed?.massFlowTag ?? null;
  const pumps = liquids.map(({ volumeFlowTag }) => volumeFlowTag);
  return [
    { description: described({ ...dose, kind: 'dose', sources: [seed, ...pumps] }), work: doseFigure() },
    ...liquids.map((liquid, index) => ({
      description: described({
        ...dose,
        kind: 'product-dose',
        name: `product-dose-${index + 1}`,
        stream: liquid.id,
        product: liquid.name,
        sources: [seed, liquid.volumeFlowTag],
      }),
      work: productDoseFigure(liquid),
    })),
  ];
}
