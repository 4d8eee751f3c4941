/** How one trace of a pane is told from its neighbours: by its dashes and its weight, never by a colour. */
export interface TraceStyle {
  readonly dash: readonly number[];
  readonly widthPx: number;
}

const STYLES: readonly TraceStyle[] = [
  { dash: [], widthPx: 1.5 },
  { dash: [7, 4], widthPx: 1.5 },
  { dash: [2, 3], widthPx: 1.8 },
  { dash: [12, 3, 2, 3], widthPx: 1.5 },
  { dash: [], widthPx: 3 },
  { dash: [7, 4], widthPx: 3 },
  { dash: [3, 4], widthPx: 3 },
  { dash: [14, 4, 3, 4], widthPx: 3 },
];

/** The style of the nth trace in its pane; after eight they begin again. */
export function traceStyle(index: number): TraceStyle {
  return STYLES[index % STYLES.length] ?? { dash: [], widthPx: 1.5 };
}
