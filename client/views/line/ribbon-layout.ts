import { labelColumns } from './label-columns.ts';
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
  readonly hasTwoRows: boolean;
}

const OVERHANG_PX = 10;
const SIDE_PX = 8;
const BREATH_PX = 10;
/** Bullet and band text below a reject need this much, whatever its name. */
const REJECT_LABEL_PX = 66;
const NAME_SCALE = 1;
const SPOUT_SHIFT_MAX_PX = 30;
/** A reject that is there is never drawn as nothing. */
const SPOUT_PX_MIN = 1.5;

/** Every position of the ribbon, from what flows and how much room there is. Knows nothing of any one line. */
export function ribbonLayout(
  order: LineOrder,
  flows: RibbonFlows,
  { size, scale }: { readonly size: RibbonSize; readonly scale: RibbonScale },
): RibbonLayout {
  const needsPx = order.machines.map((machine, index) =>
    neededPx(machine.name, order.rejects[index] ?? [], size),
  );
  const columns = labelColumns({ startPx: SIDE_PX, endPx: size.widthPx - SIDE_PX, needsPx });
  const thickness = flows.gaps.map(({ kgPerH }) => thicknessPx(kgPerH, size, scale));
  const topPx = OVERHANG_PX;
  const machines = order.machines.map((machine, index): MachinePlace => ({
    id: machine.id,
    xPx: columns.centresPx[index] ?? 0,
    labelWidthPx: columns.widthsPx[index] ?? 0,
    labelRow: columns.rows[index] ?? 0,
    topPx: topPx - OVERHANG_PX,
    bottomPx: topPx + Math.max(thickness[index] ?? 0, thickness[index + 1] ?? 0) + OVERHANG_PX,
  }));
  const edges = [Math.max(0, (machines[0]?.xPx ?? 0) - 26), ...machines.map(({ xPx }) => xPx), size.widthPx];
  const pieces = flows.gaps.map(({ certainty }, gap): RibbonPiece => ({
    startPx: edges[gap] ?? 0,
    endPx: edges[gap + 1] ?? size.widthPx,
    thicknessPx: thickness[gap] ?? 0,
    certainty,
  }));
  const spoutEndPx = topPx + size.thicknessPxMax + size.dropPx;
  const rejects = order.rejects.flatMap((streams, index): RejectPlace[] => {
    const machine = machines[index];
    if (streams.length === 0 || machine === undefined) return [];
    const kgPerH = flows.rejects[index] ?? null;
    const columnPx = columns.widthsPx[index] ?? 0;
    const spoutPx = machine.xPx + Math.min(SPOUT_SHIFT_MAX_PX, columnPx * 0.36);
    const widthPx = Math.max(SPOUT_PX_MIN, thicknessPx(kgPerH, size, scale) * scale.rejectFactor);
    const leavesPx = thicknessPx(kgPerH, size, scale);
    const bottomPx = topPx + Math.max(thickness[index + 1] ?? 0, (thickness[index] ?? 0) - leavesPx);
    return [
      {
        machine: machine.id,
        streams: streams.map(({ id }) => id),
        path: fallingPath({ startPx: machine.xPx, bottomPx, leavesPx, spoutPx, widthPx, endPx: spoutEndPx }),
        isMeasured: kgPerH !== null,
        spoutPx,
        labelWidthPx: columnPx,
        labelRow: machine.labelRow,
      },
    ];
  });
  return { topPx, machines, pieces, rejects, spoutEndPx, hasTwoRows: columns.rows.includes(1) };
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

function neededPx(
  name: string,
  rejects: readonly { readonly name: string }[],
  { fontPx }: RibbonSize,
): number {
  const own = widestWordPx(name, fontPx * NAME_SCALE, true);
  const leaving =
    rejects.length === 0
      ? 0
      : Math.max(REJECT_LABEL_PX, ...rejects.map((one) => textWidthPx(one.name, fontPx)));
  return Math.max(own, leaving) + BREATH_PX;
}

function thicknessPx(kgPerH: number | null, size: RibbonSize, scale: RibbonScale): number {
  if (kgPerH === null || scale.fullKgPerH <= 0) return 0;
  return Math.min(size.thicknessPxMax, Math.max(0, (kgPerH / scale.fullKgPerH) * size.thicknessPxMax));
}

function n(value: number): string {
  return value.toFixed(1);
}
