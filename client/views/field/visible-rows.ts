/** Which rows of a long list are on the screen, and the empty room above and below that stands for the others. */
export interface VisibleRows {
  readonly first: number;
  /** Exclusive. */
  readonly end: number;
  readonly abovePx: number;
  readonly belowPx: number;
}

export interface Scrolled {
  readonly count: number;
  readonly rowPx: number;
  readonly scrollPx: number;
  readonly heightPx: number;
}

/** Rows drawn beyond each edge, so that a fast finger does not outrun them. */
const SPARE_ROWS = 12;

export function visibleRows({ count, rowPx, scrollPx, heightPx }: Scrolled): VisibleRows {
  const top = Math.floor(Math.max(0, scrollPx) / rowPx);
  const shown = Math.ceil(heightPx / rowPx);
  const first = Math.max(0, Math.min(count, top) - SPARE_ROWS);
  const end = Math.min(count, top + shown + SPARE_ROWS);
  return {
    first,
    end: Math.max(first, end),
    abovePx: first * rowPx,
    belowPx: Math.max(0, count - end) * rowPx,
  };
}
