/** What stretch of time a chart shows: one that ends now and moves on, or one that stands still. */
export type TrendView =
  | { readonly kind: 'live'; readonly spanMs: number }
  | { readonly kind: 'past'; readonly fromMs: number; readonly toMs: number };

export interface TimeWindow {
  readonly fromMs: number;
  readonly toMs: number;
}

export const SPAN_MS_MIN = 10_000;
export const SPAN_MS_MAX = 400 * 86_400_000;
/** Zooming in near the right edge of a live chart keeps it live. */
const LIVE_EDGE_SHARE = 0.85;

export function windowOf(view: TrendView, nowMs: number): TimeWindow {
  return view.kind === 'live'
    ? { fromMs: nowMs - view.spanMs, toMs: nowMs }
    : { fromMs: view.fromMs, toMs: view.toMs };
}

export function overlaps(one: TimeWindow, other: TimeWindow): boolean {
  return one.fromMs < other.toMs && other.fromMs < one.toMs;
}

export interface Zoom {
  /** Below 1 shows less time, above 1 more. */
  readonly factor: number;
  /** What stays where it is: 0 the left edge, 1 the right edge. */
  readonly atShare: number;
  readonly nowMs: number;
}

/** Shows less or more time around one instant. */
export function zoomed(view: TrendView, { factor, atShare, nowMs }: Zoom): TrendView {
  const { fromMs, toMs } = windowOf(view, nowMs);
  const spanMs = clamped((toMs - fromMs) * factor);
  const staysLive = view.kind === 'live' && (factor >= 1 || atShare >= LIVE_EDGE_SHARE);
  if (staysLive) return { kind: 'live', spanMs };
  const heldMs = fromMs + (toMs - fromMs) * atShare;
  const start = heldMs - spanMs * atShare;
  return notBeyondNow({ fromMs: start, toMs: start + spanMs }, nowMs);
}

/** What keys and buttons zoom around: now while live, the middle otherwise. */
export function heldShare(view: TrendView): number {
  return view.kind === 'live' ? 1 : 0.5;
}

/** Moves by a share of what is shown; a chart that is moved up to now is live again. */
export function moved(view: TrendView, byShare: number, nowMs: number): TrendView {
  const { fromMs, toMs } = windowOf(view, nowMs);
  const spanMs = toMs - fromMs;
  const byMs = spanMs * byShare;
  if (toMs + byMs >= nowMs) return { kind: 'live', spanMs };
  return { kind: 'past', fromMs: fromMs + byMs, toMs: toMs + byMs };
}

/** Shows exactly one stretch. */
export function picked({ fromMs, toMs }: TimeWindow): TrendView {
  const missing = Math.max(0, SPAN_MS_MIN - (toMs - fromMs)) / 2;
  return { kind: 'past', fromMs: fromMs - missing, toMs: toMs + missing };
}

export function backToLive(view: TrendView, nowMs: number): TrendView {
  const { fromMs, toMs } = windowOf(view, nowMs);
  return { kind: 'live', spanMs: clamped(toMs - fromMs) };
}

function clamped(spanMs: number): number {
  return Math.min(SPAN_MS_MAX, Math.max(SPAN_MS_MIN, spanMs));
}

function notBeyondNow({ fromMs, toMs }: TimeWindow, nowMs: number): TrendView {
  const overMs = Math.max(0, toMs - nowMs);
  return { kind: 'past', fromMs: fromMs - overMs, toMs: toMs - overMs };
}
