export interface ColumnRequest {
  readonly startPx: number;
  readonly endPx: number;
  /** What each column must have, from most to least generous; the first that fits is taken. */
  readonly choicesPx: readonly (readonly number[])[];
}

/** Centres of columns from edge to edge. Spare room is shared evenly; where nothing fits, all columns are squeezed. */
export function columnCentres({ startPx, endPx, choicesPx }: ColumnRequest): readonly number[] {
  const room = endPx - startPx;
  const needsPx = choicesPx.find((choice) => sum(choice) <= room) ?? choicesPx.at(-1) ?? [];
  const needed = sum(needsPx);
  const stretch = needed > room ? room / needed : 1;
  const spare = Math.max(0, room - needed) / Math.max(1, needsPx.length);
  const centresPx: number[] = [];
  let edge = startPx;
  for (const need of needsPx) {
    const width = need * stretch + spare;
    centresPx.push(edge + width / 2);
    edge += width;
  }
  return centresPx;
}

/** Where a label stands: its row, and the width that it may take. */
export interface LabelRoom {
  readonly row: 0 | 1;
  readonly widthPx: number;
}

const WIDTH_PX_MAX = 170;

/** One row of labels where each has what it needs; else two rows by turns, so that each has its neighbours' room too. */
export function labelRows(centresPx: readonly number[], needsPx: readonly number[]): readonly LabelRoom[] {
  const isTight = centresPx.some((centre, index) => {
    const next = centresPx[index + 1];
    const half = ((needsPx[index] ?? 0) + (needsPx[index + 1] ?? 0)) / 2;
    return next !== undefined && next - centre < half;
  });
  const step = isTight ? 2 : 1;
  return centresPx.map((centre, index) => ({
    row: isTight && index % 2 === 1 ? 1 : 0,
    widthPx: Math.min(
      WIDTH_PX_MAX,
      centre - (centresPx[index - step] ?? -Infinity),
      (centresPx[index + step] ?? Infinity) - centre,
    ),
  }));
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
