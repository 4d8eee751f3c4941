/** Where labels of given widths stand along a line so that neighbours never touch. */
export interface LabelColumns {
  /** Centre of each column. */
  readonly centresPx: readonly number[];
  /** Width that each label may take. */
  readonly widthsPx: readonly number[];
  /** Which of two rows each label stands in: all 0, or 0 and 1 in turn where one row is too narrow. */
  readonly rows: readonly (0 | 1)[];
}

export interface ColumnRequest {
  readonly startPx: number;
  readonly endPx: number;
  /** What each label needs, its breathing space included. */
  readonly needsPx: readonly number[];
}

/**
 * Spreads columns from edge to edge. Spare room is shared evenly; when there is none, labels stand in two rows by
 * turns, so that each has its neighbour's room as well.
 */
export function labelColumns({ startPx, endPx, needsPx }: ColumnRequest): LabelColumns {
  const room = endPx - startPx;
  const needed = needsPx.reduce((sum, need) => sum + need, 0);
  const isTight = needed > room;
  const stretch = isTight ? room / needed : 1;
  const spare = isTight ? 0 : (room - needed) / Math.max(1, needsPx.length);
  const centresPx: number[] = [];
  let edge = startPx;
  for (const need of needsPx) {
    const width = need * stretch + spare;
    centresPx.push(edge + width / 2);
    edge += width;
  }
  const rows = needsPx.map((_, index): 0 | 1 => (isTight && index % 2 === 1 ? 1 : 0));
  const widthsPx = needsPx.map((need, index) => {
    const own = need * stretch + spare;
    return isTight ? Math.min(need, own + neighboursHalf(needsPx, index, stretch)) : own;
  });
  return { centresPx, widthsPx, rows };
}

/** In two rows a label reaches to the middle of each neighbour's column. */
function neighboursHalf(needsPx: readonly number[], index: number, stretch: number): number {
  const half = (at: number) => ((needsPx[at] ?? 0) * stretch) / 2;
  return 2 * Math.min(half(index - 1), half(index + 1));
}
