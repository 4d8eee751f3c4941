import type { RibbonFlows } from './ribbon-flows.ts';
import type { RibbonScale } from './ribbon-layout.ts';

/** Sizes of the standing ribbon in CSS pixels. */
export interface ColumnSize {
  readonly rowPx: number;
  readonly leftPx: number;
  readonly thicknessPxMax: number;
  /** Where what leaves ends, to the right of the ribbon. */
  readonly spoutEndPx: number;
}

export interface ColumnRow {
  readonly yPx: number;
  /** The bar that stands for the machine lies across the ribbon. */
  readonly barEndPx: number;
  /** From this machine to the next, or to the end. */
  readonly thicknessPx: number;
  readonly heightPx: number;
  /** Empty where nothing leaves. */
  readonly rejectPath: string;
}

const OVERHANG_PX = 7;
const SPOUT_PX_MIN = 1.5;
const FALL_PX = 17;

/** The ribbon running down the page, a row for each machine; what leaves turns off to the right, to its words. */
export function ribbonColumnLayout(
  flows: RibbonFlows,
  hasReject: readonly boolean[],
  { size, scale }: { readonly size: ColumnSize; readonly scale: RibbonScale },
): readonly ColumnRow[] {
  const thickness = (kgPerH: number | null) =>
    Math.min(size.thicknessPxMax, ((kgPerH ?? 0) / scale.fullKgPerH) * size.thicknessPxMax);
  return hasReject.map((leaves, index): ColumnRow => {
    const before = thickness(flows.gaps[index]?.kgPerH ?? null);
    const after = thickness(flows.gaps[index + 1]?.kgPerH ?? null);
    const yPx = index * size.rowPx + size.rowPx / 3;
    const leavingPx = thickness(flows.rejects[index] ?? null);
    return {
      yPx,
      barEndPx: size.leftPx + Math.max(before, after) + OVERHANG_PX,
      thicknessPx: after,
      heightPx: size.rowPx,
      rejectPath: leaves
        ? turningPath({
            xPx: size.leftPx + after,
            yPx,
            leavingPx,
            widthPx: leavingPx * scale.rejectFactor,
            endPx: size.spoutEndPx,
          })
        : '',
    };
  });
}

interface Turn {
  readonly xPx: number;
  readonly yPx: number;
  readonly leavingPx: number;
  readonly widthPx: number;
  readonly endPx: number;
}

/** The strip that peels off the ribbon's right edge, widens and turns to the right. */
function turningPath({ xPx, yPx, leavingPx, widthPx, endPx }: Turn): string {
  const half = Math.max(SPOUT_PX_MIN, widthPx) / 2;
  const middle = yPx + FALL_PX;
  const outer = xPx + Math.max(leavingPx, SPOUT_PX_MIN);
  const bend = xPx + (endPx - xPx) * 0.4;
  const n = (value: number) => value.toFixed(1);
  return [
    `M${n(outer)} ${n(yPx)}`,
    `C${n(outer)} ${n(middle - half)} ${n(bend)} ${n(middle - half)} ${n(endPx)} ${n(middle - half)}`,
    `V${n(middle + half)}`,
    `C${n(bend - 4)} ${n(middle + half)} ${n(xPx)} ${n(middle + half)} ${n(xPx)} ${n(yPx)}Z`,
  ].join('');
}
