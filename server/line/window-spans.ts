import type { FigureWindow } from '../contract/figure-message.ts';
import type { Mark } from '../contract/records.ts';
import { unknownEstimate, type UnknownEstimate } from './estimate.ts';
import type { LineContext } from './line-context.ts';

/** A stretch of time of one stream. */
export interface Span {
  readonly known: true;
  readonly fromMs: number;
  readonly toMs: number;
  /** What began it, for a stretch that may be longer than tracks are kept; null for a short one. */
  readonly anchor: string | null;
}

/** Where a stream lies, and where the seed is seen that is spoken of: it passed the stream a while before. */
export interface Place {
  readonly at: number;
  readonly seenAt: number;
}

const TEN_MINUTES_MS = 600_000;

/**
 * The stretch in which a stream carried the seed of a window. Every stream of a quotient has its own, shifted by the
 * lag, so that the quotient compares the same seed.
 *
 *     lot      from the first seed of the lot at this stream to the seed that is now where it is seen
 *     shift    the same hours at the place where it is seen, shifted by the lag
 */
export function spanOf(context: LineContext, window: FigureWindow, place: Place): Span | UnknownEstimate {
  const { frame, ways, setup } = context;
  const lagMs = between(ways, place);
  if (window === 'now' || window === 'ten-minutes') {
    const lengthMs = window === 'now' ? setup.settings.nowWindowMs : TEN_MINUTES_MS;
    const endMs = frame.endMs - lagMs;
    return { known: true, fromMs: endMs - lengthMs, toMs: endMs, anchor: null };
  }
  const toMs = frame.endMs - lagMs - (window === 'lot' ? between(context.binWays, place) : 0);
  const fromMs = window === 'lot' ? lotStartMs(context, place.at) : shiftStartMs(context, lagMs);
  if (fromMs === null) return unknownEstimate(window === 'lot' ? 'no-lot' : 'window-uncovered');
  if (toMs <= fromMs) return unknownEstimate('line-filling');
  return { known: true, fromMs, toMs, anchor: anchorOf(context, window, place) };
}

function between(ways: readonly number[], { at, seenAt }: Place): number {
  return (ways[seenAt] ?? 0) - (ways[at] ?? 0);
}

/** When the first seed of the running lot passed the end of `path[place]`; null without a lot. */
function lotStartMs(context: LineContext, place: number): number | null {
  if (context.lot === null) return null;
  const mark = lotMarkAt(context, place);
  if (mark === null) return context.lot.startedMs + wayTo(context, place);
  return mark.timeMs + wayTo(context, place) - wayTo(context, mark.place);
}

/** All the time that seed takes to a place, in bins too. */
function wayTo({ ways, binWays }: LineContext, place: number): number {
  return (ways[place] ?? 0) + (binWays[place] ?? 0);
}

/**
 * The operator's newest "last seed of the old lot past here", at the nearest machine at or before a place. It wins over
 * the lag, which only proposes.
 */
function lotMarkAt(context: LineContext, place: number): { timeMs: number; place: number } | null {
  let nearest: { timeMs: number; place: number } | null = null;
  for (const mark of context.marks) {
    if (!isLotMark(mark, context)) continue;
    const at = context.setup.layout.path.findIndex(({ from }) => from === mark.machine);
    if (at === -1 || at > place) continue;
    const isNearer =
      nearest === null || at > nearest.place || (at === nearest.place && mark.timeMs > nearest.timeMs);
    if (isNearer) nearest = { timeMs: mark.timeMs, place: at };
  }
  return nearest;
}

function isLotMark(mark: Mark, { lot, frame, setup }: LineContext): boolean {
  const isHere = mark.kind === 'lot' && mark.line === setup.graph.id && mark.machine !== null;
  return isHere && lot !== null && mark.timeMs >= lot.startedMs && mark.timeMs <= frame.endMs;
}

function shiftStartMs({ shift }: LineContext, lagMs: number): number | null {
  return shift === null ? null : shift.startedMs - lagMs;
}

/** Names the start of a stretch. It does not change when a gate is turned later: what has passed has passed. */
function anchorOf(context: LineContext, window: 'lot' | 'shift', place: Place): string {
  if (window === 'shift') return `shift ${context.shift?.id ?? ''} ${place.at} ${place.seenAt}`;
  const mark = lotMarkAt(context, place.at);
  return `lot ${context.lot?.id ?? ''} ${place.at} ${mark?.timeMs ?? ''}`;
}
