import { windowOf, type TimeWindow, type TrendView } from './trend-view.ts';

/** A stretch of the history in buckets. */
export interface Stretch extends TimeWindow {
  readonly buckets: number;
}

export interface Sight {
  /** Buckets that the width of the chart can show. */
  readonly buckets: number;
  readonly nowMs: number;
}

/** Fetched beyond each edge of the window, as a share of it: a chart that is moved has something to show at once. */
const MARGIN_SHARE = 0.3;
/** Buckets this much wider than wished are still drawn; beyond it finer ones are fetched. */
const COARSE_MAX = 1.25;
/** Buckets this much narrower than wished are a burden to draw; beyond it coarser ones are fetched. */
const FINE_MAX = 2;

/** What to ask of the history for a view: somewhat more than it shows, as finely as it can show. */
export function stretchFor(view: TrendView, buckets: number, nowMs: number): Stretch {
  const { fromMs, toMs } = windowOf(view, nowMs);
  const marginMs = (toMs - fromMs) * MARGIN_SHARE;
  const startMs = fromMs - marginMs;
  const endMs = view.kind === 'live' ? toMs : Math.max(toMs, Math.min(nowMs, toMs + marginMs));
  return {
    fromMs: startMs,
    toMs: endMs,
    buckets: Math.ceil((buckets * (endMs - startMs)) / (toMs - fromMs)),
  };
}

/** Whether what is known of the history still serves a view: it covers the window, neither too coarse nor too fine. */
export function fits(known: Stretch, view: TrendView, { buckets, nowMs }: Sight): boolean {
  const window = windowOf(view, nowMs);
  // Live, what has come since is added to the right edge.
  const covers = known.fromMs <= window.fromMs && (view.kind === 'live' || known.toMs >= window.toMs);
  const ratio = ((known.toMs - known.fromMs) / known.buckets) * (buckets / (window.toMs - window.fromMs));
  return covers && ratio <= COARSE_MAX && ratio >= 1 / FINE_MAX;
}
