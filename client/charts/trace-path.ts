import type { TrendColumns } from '../live/trend-columns.ts';
import type { TimeWindow } from '../live/trend-view.ts';

/** What takes the strokes: a path of the canvas, or the text of a path in a picture. */
export interface PathSink {
  moveTo(x: number, y: number): void;
  lineTo(x: number, y: number): void;
  closePath(): void;
}

/** From time and value to places: `x = timeMs * perMs + xAtZero`, `y = value * perUnit + yAtZero`. */
export interface Places {
  readonly perMs: number;
  readonly xAtZero: number;
  readonly perUnit: number;
  readonly yAtZero: number;
}

/** Indexes of the buckets to draw, both within the columns. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** A value between two gaps has no line to either side; it gets a dash this long, or it would not be seen. */
const LONE_PX = 3;
/** An envelope thinner than the line hides behind it. */
const ENVELOPE_PX_MIN = 1.2;

/** The buckets of a window and one more to each side, so that the line runs to the edges. */
export function spanOf({ timeMs }: TrendColumns, { fromMs, toMs }: TimeWindow): Span {
  const from = Math.max(0, firstFrom(timeMs, fromMs) - 1);
  return { from, to: Math.min(timeMs.length - 1, firstFrom(timeMs, toMs)) };
}

/** The index of the first time at or after an instant; the length when all lie before it. */
function firstFrom(timeMs: readonly number[], atMs: number): number {
  let low = 0;
  let high = timeMs.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((timeMs[middle] ?? Infinity) < atMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The line itself; a gap lifts the pen, a contact goes in steps. */
export function lineThrough(
  sink: PathSink,
  columns: TrendColumns,
  how: { readonly span: Span; readonly places: Places; readonly isStep: boolean },
): void {
  const { timeMs, mid } = columns;
  const { perMs, xAtZero, perUnit, yAtZero } = how.places;
  let lastY: number | null = null;
  let isLone = false;
  let lastX = 0;
  for (let index = how.span.from; index <= how.span.to; index++) {
    const value = mid[index] ?? null;
    const x = (timeMs[index] ?? 0) * perMs + xAtZero;
    if (value === null) {
      if (lastY !== null) endAtGap(sink, { x, lastX, lastY, isStep: how.isStep, isLone });
      lastY = null;
      continue;
    }
    const y = value * perUnit + yAtZero;
    isLone = lastY === null;
    if (lastY === null) sink.moveTo(x, y);
    else {
      if (how.isStep) sink.lineTo(x, lastY);
      sink.lineTo(x, y);
    }
    lastY = y;
    lastX = x;
  }
  if (lastY !== null && isLone) sink.lineTo(lastX + LONE_PX, lastY);
}

interface GapEdge {
  readonly x: number;
  readonly lastX: number;
  readonly lastY: number;
  readonly isStep: boolean;
  readonly isLone: boolean;
}

/** A held value is held until the gap begins; a lone value is made visible. */
function endAtGap(sink: PathSink, { x, lastX, lastY, isStep, isLone }: GapEdge): void {
  if (isStep) sink.lineTo(x, lastY);
  else if (isLone) sink.lineTo(lastX + LONE_PX, lastY);
}

/** From the lowest to the highest of each bucket, so that no spike is lost. False when there is nothing to be seen. */
export function envelopeAround(
  sink: PathSink,
  columns: TrendColumns,
  how: { readonly span: Span; readonly places: Places },
): boolean {
  const { min, max } = columns;
  const { perUnit } = how.places;
  let isSeen = false;
  let start = -1;
  let widest = 0;
  for (let index = how.span.from; index <= how.span.to + 1; index++) {
    const high = index > how.span.to ? null : (max[index] ?? null);
    const low = min[index] ?? null;
    if (high !== null && low !== null) {
      if (start < 0) start = index;
      widest = Math.max(widest, (high - low) * Math.abs(perUnit));
      continue;
    }
    if (start >= 0 && widest >= ENVELOPE_PX_MIN) {
      outline(sink, columns, { span: { from: start, to: index - 1 }, places: how.places });
      isSeen = true;
    }
    start = -1;
    widest = 0;
  }
  return isSeen;
}

function outline(
  sink: PathSink,
  { timeMs, min, max }: TrendColumns,
  { span, places }: { readonly span: Span; readonly places: Places },
): void {
  const { perMs, xAtZero, perUnit, yAtZero } = places;
  for (let index = span.from; index <= span.to; index++) {
    const x = (timeMs[index] ?? 0) * perMs + xAtZero;
    const y = (max[index] ?? 0) * perUnit + yAtZero;
    if (index === span.from) sink.moveTo(x, y);
    else sink.lineTo(x, y);
  }
  for (let index = span.to; index >= span.from; index--) {
    sink.lineTo((timeMs[index] ?? 0) * perMs + xAtZero, (min[index] ?? 0) * perUnit + yAtZero);
  }
  sink.closePath();
}

/** Where nothing is known: from the last bucket with a value to the next one, within the window. */
export function gapsOf(columns: TrendColumns, window: TimeWindow, leastMs: number): readonly TimeWindow[] {
  const { timeMs, mid } = columns;
  if (timeMs.length === 0) return [];
  const { from, to } = spanOf(columns, window);
  const gaps: TimeWindow[] = [];
  let startMs: number | null = (timeMs[from] ?? Infinity) > window.fromMs ? window.fromMs : null;
  for (let index = from; index <= to; index++) {
    const atMs = timeMs[index] ?? 0;
    if (mid[index] == null) startMs ??= atMs;
    else if (startMs !== null) {
      gaps.push({ fromMs: startMs, toMs: atMs });
      startMs = null;
    }
  }
  if (startMs !== null) gaps.push({ fromMs: startMs, toMs: window.toMs });
  return gaps.filter((gap) => gap.toMs - gap.fromMs >= leastMs);
}

/** Where values are known but not to be trusted, within the window. */
export function doubtfulOf(columns: TrendColumns, window: TimeWindow): readonly TimeWindow[] {
  const { timeMs, doubt } = columns;
  if (doubt === undefined) return [];
  const { from, to } = spanOf(columns, window);
  const stretches: TimeWindow[] = [];
  let startMs: number | null = null;
  for (let index = from; index <= to; index++) {
    if (doubt[index] === true) startMs ??= timeMs[index] ?? 0;
    else if (startMs !== null) {
      stretches.push({ fromMs: startMs, toMs: timeMs[index] ?? 0 });
      startMs = null;
    }
  }
  if (startMs !== null) stretches.push({ fromMs: startMs, toMs: window.toMs });
  return stretches;
}
