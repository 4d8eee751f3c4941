import type { LineOrder } from './line-order.ts';

/**
 * How well a width of the ribbon is known: `measured` by a scale there, `reckoned` from a scale and the measured
 * rejects between, `assumed` where an unmeasured reject lies between, `unknown` when no scale is known at all.
 */
export type Certainty = 'measured' | 'reckoned' | 'assumed' | 'unknown';

export interface GapFlow {
  readonly kgPerH: number | null;
  readonly certainty: Certainty;
}

/** kg/h of a stream, or null where it is not measured or not known now. */
export type FlowOf = (stream: string) => number | null;

export interface RibbonFlows {
  /** One for each gap of the order. */
  readonly gaps: readonly GapFlow[];
  /** Of each machine: the sum of its known rejects, or null when one of them is not known. */
  readonly rejects: readonly (number | null)[];
}

/** The mass flow in every gap of the line, filled in between the scales as far as the rejects allow. */
export function ribbonFlows(order: LineOrder, flowOf: FlowOf): RibbonFlows {
  const rejects = order.rejects.map((streams) => sumOrNull(streams.map(({ id }) => flowOf(id))));
  const measured = order.gaps.map((streams) =>
    streams.length === 0 ? null : sumOrNull(streams.map(({ id }) => flowOf(id))),
  );
  const anchors = measured.flatMap((flow, gap) => (flow === null ? [] : [{ gap, flow }]));
  const first = anchors[0];
  if (first === undefined) {
    return { gaps: measured.map(() => ({ kgPerH: null, certainty: 'unknown' })), rejects };
  }
  const gaps: GapFlow[] = new Array<GapFlow>(measured.length).fill({ kgPerH: null, certainty: 'unknown' });
  for (const { gap, flow } of anchors) gaps[gap] = { kgPerH: flow, certainty: 'measured' };
  fillBackward(gaps, rejects, first.gap);
  for (const [index, anchor] of anchors.entries()) {
    fillForward(gaps, rejects, { from: anchor.gap, to: anchors[index + 1]?.gap ?? null });
  }
  return { gaps, rejects };
}

/** Before the first scale the flow was larger by what left in between. */
function fillBackward(gaps: GapFlow[], rejects: readonly (number | null)[], firstGap: number): void {
  for (let gap = firstGap - 1; gap >= 0; gap--) {
    const after = gaps[gap + 1];
    if (after?.kgPerH == null) return;
    const left = rejects[gap] ?? null;
    gaps[gap] = { kgPerH: after.kgPerH + (left ?? 0), certainty: worse(after, left === null) };
  }
}

/**
 * Behind a scale the flow is smaller by what has left. Where unmeasured rejects lie before the next scale, what is
 * missing there is shared out among them evenly: the ribbon tapers, and says that it is assumed.
 */
function fillForward(
  gaps: GapFlow[],
  rejects: readonly (number | null)[],
  stretch: { readonly from: number; readonly to: number | null },
): void {
  const end = stretch.to ?? gaps.length;
  const share = unmeasuredShare(gaps, rejects, stretch);
  for (let gap = stretch.from + 1; gap < end; gap++) {
    const before = gaps[gap - 1];
    if (before?.kgPerH == null) return;
    const left = rejects[gap - 1] ?? null;
    const kgPerH = Math.max(0, before.kgPerH - (left ?? share));
    gaps[gap] = { kgPerH, certainty: worse(before, left === null) };
  }
}

function unmeasuredShare(
  gaps: readonly GapFlow[],
  rejects: readonly (number | null)[],
  { from, to }: { readonly from: number; readonly to: number | null },
): number {
  const start = gaps[from]?.kgPerH ?? null;
  const next = to === null ? null : (gaps[to]?.kgPerH ?? null);
  if (start === null || next === null || to === null) return 0;
  const between = rejects.slice(from, to);
  const unmeasured = between.filter((flow) => flow === null).length;
  const known = between.reduce<number>((sum, flow) => sum + (flow ?? 0), 0);
  return unmeasured === 0 ? 0 : Math.max(0, start - known - next) / unmeasured;
}

function worse(neighbour: GapFlow, isUnmeasured: boolean): Certainty {
  return isUnmeasured || neighbour.certainty === 'assumed' ? 'assumed' : 'reckoned';
}

/** Nothing leaving is a known zero. */
function sumOrNull(flows: readonly (number | null)[]): number | null {
  return flows.reduce<number | null>((sum, flow) => (sum === null || flow === null ? null : sum + flow), 0);
}
