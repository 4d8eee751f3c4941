import type { FigureDescription, FigureKind, FigureWindow } from '../contract/figure-message.ts';
import type { LineGraph, Stream } from '../contract/line-graph.ts';
import type { UnitCode } from '../contract/unit-code.ts';

const WINDOW_SUFFIX: Record<FigureWindow, string> = {
  now: '',
  'ten-minutes': '-ten-minutes',
  lot: '-lot',
  shift: '-shift',
};
/** What is kept of a figure's digits; finer is noise and costs bytes for ever. */
const RESOLUTION: Readonly<Partial<Record<UnitCode, number>>> = {
  '1': 0.000_01,
  'kg/h': 0.1,
  kg: 1,
  'mL/bu': 0.01,
  mL: 1,
  h: 0.01,
  'money/h': 0.01,
  state: 1,
};
const FINEST = 0.01;

/** What distinguishes a figure from the others of its line. */
export interface Naming {
  readonly graph: LineGraph;
  readonly kind: FigureKind;
  readonly unit: UnitCode;
  readonly machine?: string;
  readonly stream?: string;
  readonly product?: string;
  /** Where the kind alone does not tell it from another figure of its machine. */
  readonly name?: string;
  readonly window?: FigureWindow;
  readonly sources: readonly (string | null | undefined)[];
}

export function described(naming: Naming): FigureDescription {
  const { graph, kind, unit, window = 'now' } = naming;
  return {
    id: `${graph.id}.${naming.machine ?? 'line'}.${naming.name ?? kind}${WINDOW_SUFFIX[window]}`,
    line: graph.id,
    machine: naming.machine ?? null,
    stream: naming.stream ?? null,
    product: naming.product ?? null,
    kind,
    window,
    unit,
    resolution: RESOLUTION[unit] ?? FINEST,
    sources: [...new Set(naming.sources.filter((source) => source != null))],
  };
}

/** The tags that weigh a stream. */
export function scalesOf(stream: Stream | null): readonly (string | null)[] {
  return [stream?.massFlowTag ?? null, stream?.massTotalTag ?? null];
}
