import { columnCentres, labelRows, type LabelRoom } from './label-columns.ts';
import type { LineOrder } from './line-order.ts';
import type { Certainty, RibbonFlows } from './ribbon-flows.ts';
import { textWidthPx, widestWordPx } from './text-width.ts';

/** Sizes of the ribbon in CSS pixels. The proportions are those that were looked at on the three screens. */
export interface RibbonSize {
  readonly widthPx: number;
  /** Largest thickness of the ribbon, reached at full scale. */
  readonly thicknessPxMax: number;
  /** From the ribbon's lowest edge to where a reject ends. */
  readonly dropPx: number;
  readonly fontPx: number;
}

export interface RibbonScale {
  /** Mass flow at which the ribbon has its largest thickness. */
  readonly fullKgPerH: number;
  /** Rejects are drawn this many times as wide as the ribbon's scale; the screen says so. */
  readonly rejectFactor: number;
}

export interface MachinePlace {
  readonly id: string;
  readonly xPx: number;
  readonly labelWidthPx: number;
  readonly labelRow: 0 | 1;
  /** The bar that stands for the machine overhangs the ribbon on both sides. */
  readonly topPx: number;
  readonly bottomPx: number;
}

export interface RibbonPiece {
  readonly startPx: number;
  readonly endPx: number;
  readonly thicknessPx: number;
  readonly certainty: Certainty;
}

export interface RejectPlace {
  readonly machine: string;
  /** What leaves here; drawn and labelled as one. */
  readonly streams: readonly string[];
  readonly path: string;
  readonly isMeasured: boolean;
  readonly spoutPx: number;
  readonly labelWidthPx: number;
  readonly labelRow: 0 | 1;
}

export interface RibbonLayout {
  readonly topPx: number;
  readonly machines: readonly MachinePlace[];
  readonly pieces: readonly RibbonPiece[];
  readonly rejects: readonly RejectPlace[];
  readonly spoutEndPx: number;
  readonly hasTwoRows: { readonly names: boolean; readonly rejects: boolean };
}

export interface RibbonRequest {
  readonly size: RibbonSize;
  readonly scale: RibbonScale;
  /** Gaps in which a flow is written: their machines stand far enough apart for the label. */
  readonly labelledGaps: readonly number[];
}

const OVERHANG_PX = 10;
const SIDE_PX = 8;
const BREATH_PX = 8;
/** The ribbon begins this far before the first machine. */
const LEAD_IN_PX = 26;
/** Bullet and band text below a reject need this much, whatever its name. */
const REJECT_LABEL_PX = 66;
/** "486 bu/h treated" in two lines, as a multiple of the type size. */
const FLOW_LABEL_SIZES = 8.2;
/** An unknown flow is an empty outline of about the usual thickness. */
const OUTLINE_SHARE = 0.8;
const SPOUT_SHIFT_MAX_PX = 30;
const SPOUT_SHIFT_SHARE = 0.36;
/** A reject that is there is never drawn as nothing. */
const SPOUT_PX_MIN = 1.5;

/** Every position of the ribbon, from what flows and how much room there is. Knows nothing of any one line. */
export function ribbonLayout(order: LineOrder, flows: RibbonFlows, request: RibbonRequest): RibbonLayout {
  const { size, scale } = request;
  const needs = neededWidths(order, request);
  const centresPx = columnCentres({
    startPx: SIDE_PX,
    endPx: size.widthPx - SIDE_PX,
    choicesPx: [needs.withFlows, needs.withRejects, needs.names],
  });
  const names = labelRows(centresPx, needs.names);
  const thickness = flows.gaps.map(({ kgPerH }) =>
    kgPerH === null ? size.thicknessPxMax * OUTLINE_SHARE : thicknessPx(kgPerH, size, scale),
  );
  const topPx = OVERHANG_PX;
  const machines = order.machines.map((machine, index): MachinePlace => ({
    id: machine.id,
    xPx: centresPx[index] ?? 0,
    labelWidthPx: names[index]?.widthPx ?? 0,
    labelRow: names[index]?.row ?? 0,
    topPx: topPx - OVERHANG_PX,
    bottomPx: topPx + Math.max(thickness[index] ?? 0, thickness[index + 1] ?? 0) + OVERHANG_PX,
  }));
  const spoutEndPx = topPx + size.thicknessPxMax + size.dropPx;
  const leaving = machines.flatMap((machine, index): Leaving[] => {
    const streams = order.rejects[index] ?? [];
    if (streams.length === 0) return [];
    const edges = { topPx, beforePx: thickness[index] ?? 0, afterPx: thickness[index + 1] ?? 0, spoutEndPx };
    return [
      { machine, streams, kgPerH: flows.rejects[index] ?? null, edges, needPx: needs.rejects[index] ?? 0 },
    ];
  });
  const rejects = rejectPlaces(leaving, request);
  const pieces = ribbonPieces(flows, { machines, thickness, widthPx: size.widthPx });
  return {
    topPx,
    machines,
    pieces,
    rejects,
    spoutEndPx,
    hasTwoRows: { names: hasSecond(names), rejects: rejects.some(({ labelRow }) => labelRow === 1) },
  };
}

interface PieceEnds {
  readonly machines: readonly MachinePlace[];
  readonly thickness: readonly number[];
  readonly widthPx: number;
}

function ribbonPieces(flows: RibbonFlows, { machines, thickness, widthPx }: PieceEnds): RibbonPiece[] {
  const start = Math.max(0, (machines[0]?.xPx ?? 0) - LEAD_IN_PX);
  const edges = [start, ...machines.map(({ xPx }) => xPx), widthPx];
  return flows.gaps.map(({ certainty }, gap) => ({
    startPx: edges[gap] ?? 0,
    endPx: edges[gap + 1] ?? widthPx,
    thicknessPx: thickness[gap] ?? 0,
    certainty,
  }));
}

interface Leaving {
  readonly machine: MachinePlace;
  readonly streams: readonly { readonly id: string }[];
  readonly kgPerH: number | null;
  readonly needPx: number;
  readonly edges: {
    readonly topPx: number;
    readonly beforePx: number;
    readonly afterPx: number;
    readonly spoutEndPx: number;
  };
}

/** Machines without a reject leave their room to the labels of their neighbours. */
function rejectPlaces(leaving: readonly Leaving[], { size, scale }: RibbonRequest): readonly RejectPlace[] {
  const spoutsPx = leaving.map(
    ({ machine, needPx }) => machine.xPx + Math.min(SPOUT_SHIFT_MAX_PX, needPx * SPOUT_SHIFT_SHARE),
  );
  const rooms = labelRows(
    spoutsPx,
    leaving.map(({ needPx }) => needPx),
  );
  return leaving.map(({ machine, streams, kgPerH, edges }, index) => {
    const leavesPx = thicknessPx(kgPerH, size, scale);
    const spoutPx = spoutsPx[index] ?? machine.xPx;
    return {
      machine: machine.id,
      streams: streams.map(({ id }) => id),
      path: fallingPath({
        startPx: machine.xPx,
        bottomPx: edges.topPx + Math.max(edges.afterPx, edges.beforePx - leavesPx),
        leavesPx,
        spoutPx,
        widthPx: Math.max(SPOUT_PX_MIN, leavesPx * scale.rejectFactor),
        endPx: edges.spoutEndPx,
      }),
      isMeasured: kgPerH !== null,
      spoutPx,
      labelWidthPx: rooms[index]?.widthPx ?? 0,
      labelRow: rooms[index]?.row ?? 0,
    };
  });
}

function hasSecond(rooms: readonly LabelRoom[]): boolean {
  return rooms.some(({ row }) => row === 1);
}

interface Fall {
  readonly startPx: number;
  readonly bottomPx: number;
  readonly leavesPx: number;
  readonly spoutPx: number;
  readonly widthPx: number;
  readonly endPx: number;
}

/** The strip that peels off the ribbon's lower edge, widens and falls. */
function fallingPath({ startPx, bottomPx, leavesPx, spoutPx, widthPx, endPx }: Fall): string {
  const right = spoutPx + widthPx / 2;
  const left = spoutPx - widthPx / 2;
  const turnPx = bottomPx + (endPx - bottomPx) * 0.55;
  const low = bottomPx + Math.max(leavesPx, SPOUT_PX_MIN);
  return [
    `M${n(startPx)} ${n(bottomPx)}`,
    `C${n(startPx + (right - startPx) * 0.7)} ${n(bottomPx)} ${n(right)} ${n(bottomPx + (turnPx - bottomPx) * 0.25)} ${n(right)} ${n(turnPx)}`,
    `V${n(endPx)}H${n(left)}V${n(turnPx)}`,
    `C${n(left)} ${n(low + (turnPx - low) * 0.3)} ${n(startPx + (left - startPx) * 0.7)} ${n(low)} ${n(startPx)} ${n(low)}Z`,
  ].join('');
}

interface NeededWidths {
  readonly names: readonly number[];
  /** 0 where nothing leaves. */
  readonly rejects: readonly number[];
  /** Room for a name and for what is written below it. */
  readonly withRejects: readonly number[];
  /** The same, and room for the flows that are written on the ribbon between two machines. */
  readonly withFlows: readonly number[];
}

function neededWidths(order: LineOrder, { size, labelledGaps }: RibbonRequest): NeededWidths {
  const names = order.machines.map(({ name }) => widestWordPx(name, size.fontPx) + BREATH_PX);
  const rejects = order.machines.map((_, index) => {
    const streams = order.rejects[index] ?? [];
    if (streams.length === 0) return 0;
    return (
      Math.max(REJECT_LABEL_PX, ...streams.map(({ name }) => textWidthPx(name, size.fontPx))) + BREATH_PX
    );
  });
  const withRejects = names.map((need, index) => Math.max(need, rejects[index] ?? 0));
  const withFlows = [...withRejects];
  for (const gap of labelledGaps) {
    const [before, after] = [withFlows[gap - 1], withFlows[gap]];
    if (before === undefined || after === undefined) continue;
    const missing = Math.max(0, size.fontPx * FLOW_LABEL_SIZES - (before + after) / 2);
    withFlows[gap - 1] = before + missing;
    withFlows[gap] = after + missing;
  }
  return { names, rejects, withRejects, withFlows };
}

function thicknessPx(kgPerH: number | null, size: RibbonSize, scale: RibbonScale): number {
  if (kgPerH === null || scale.fullKgPerH <= 0) return 0;
  return Math.min(size.thicknessPxMax, Math.max(0, (kgPerH / scale.fullKgPerH) * size.thicknessPxMax));
}

function n(value: number): string {
  return value.toFixed(1);
}
