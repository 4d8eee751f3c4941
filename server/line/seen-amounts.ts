import { known, type Figure } from '../calc/figure.ts';
import { MS_PER_HOUR } from '../calc/units.ts';
import type { FigureWindow } from '../contract/figure-message.ts';
import type { InputRole } from '../contract/figure-provenance.ts';
import type { Stream } from '../contract/line-graph.ts';
import {
  derived,
  unknownEstimate,
  type Estimate,
  type KnownEstimate,
  type UnknownEstimate,
} from './estimate.ts';
import { wayErrorMs, type LineContext } from './line-context.ts';
import type { RejectOutlet } from './line-layout.ts';
import { laggedRate, seedMass, seedRate } from './stream-amounts.ts';
import { spanOf, type Span } from './window-spans.ts';

export type Work = (context: LineContext) => Estimate;

const TEN_MINUTES_MS = 600_000;
/** Over a lot or a shift the floor is what a minute of running makes. */
const LEAST_RUN_MS = 60_000;

/** What is asked of one stream: as what, and where it lies on the path. */
export interface Asked {
  readonly stream: Stream | null;
  readonly role: InputRole;
  readonly at: number;
}

/** The window of a figure, and the place where its seed is seen. */
export interface Seen {
  readonly window: FigureWindow;
  readonly seenAt: number;
}

/** The mass of a stream, kg, for the seed that is seen in the window at another place. */
export function amountOf(context: LineContext, asked: Asked, seen: Seen): Estimate {
  if (context.trace !== null) return freshAmount(context, asked, seen);
  const key = `${asked.stream?.id ?? ''} ${seen.window} ${seen.seenAt}`;
  const known = context.amounts.get(key) ?? freshAmount(context, asked, seen);
  context.amounts.set(key, known);
  return known;
}

function freshAmount(context: LineContext, asked: Asked, seen: Seen): Estimate {
  const place = { at: asked.at, seenAt: seen.seenAt };
  const { window } = seen;
  if (isLong(window)) {
    const span = spanOf(context, window, place);
    return withLagError(context, seedMass(context, asked, span), { span, seen });
  }
  const lengthMs = lengthOf(context, window);
  const rate = laggedRate(context, asked, { place, lengthMs });
  if (!rate.known) return rate;
  const hours = lengthMs / MS_PER_HOUR;
  return derived(known(rate.value * hours), [{ of: rate, slope: hours }]);
}

/**
 * A total of the running lot with what the error of the lag makes of it. Whichever stream it is, its stretch is shorter
 * by as much as the way to where the seed is seen is longer than configured: in a quotient that cancels.
 */
export function withLagError(
  context: LineContext,
  total: Estimate,
  { span, seen }: { readonly span: Span | UnknownEstimate; readonly seen: Seen },
): Estimate {
  const errorMs = seen.window === 'lot' ? wayErrorMs(context, 0, seen.seenAt) : 0;
  if (!total.known || total.causes === null || !span.known || errorMs === 0) return total;
  const half = (-total.value * errorMs) / (span.toMs - span.fromMs);
  return { ...total, causes: [...total.causes, { cause: 'lag', half }] };
}

/** The stretch in which a place carried the seed that is seen in the window at another. */
export function seenSpan(context: LineContext, at: number, seen: Seen): Span | UnknownEstimate {
  if (isLong(seen.window)) return spanOf(context, seen.window, { at, seenAt: seen.seenAt });
  const { ways, frame } = context;
  const toMs = frame.endMs - ((ways[seen.seenAt] ?? 0) - (ways[at] ?? 0));
  return { known: true, fromMs: toMs - lengthOf(context, seen.window), toMs, anchor: null };
}

/** What a machine took of the seed that is seen elsewhere; a bypassed one took nothing. */
export function rejectOf(context: LineContext, outlet: RejectOutlet, seen: Seen): Estimate {
  return amountOf(context, { stream: outlet.stream, role: 'reject', at: outlet.place }, seen);
}

export function isLong(window: FigureWindow): window is 'lot' | 'shift' {
  return window === 'lot' || window === 'shift';
}

export function lengthOf({ setup }: LineContext, window: 'now' | 'ten-minutes'): number {
  return window === 'now' ? setup.settings.nowWindowMs : TEN_MINUTES_MS;
}

/** The floor of the feed as a mass over the window. */
export function floorOf(context: LineContext, window: FigureWindow): number {
  const { feedKgPerHFloor } = context.setup.settings;
  const lengthMs = isLong(window) ? LEAST_RUN_MS : lengthOf(context, window);
  return (feedKgPerHFloor * lengthMs) / MS_PER_HOUR;
}

export function quotient(figure: Figure<number>, above: KnownEstimate, below: KnownEstimate): Estimate {
  return derived(figure, [
    { of: above, slope: 1 / below.value },
    { of: below, slope: -above.value / below.value ** 2 },
  ]);
}

/** Seed is entering, though none has come this far yet. */
export function orFilling(context: LineContext, estimate: Estimate): Estimate {
  if (estimate.known || estimate.because !== 'line-stopped') return estimate;
  const { feed, feedPlace } = context.setup.layout;
  const span = spanOf(context, 'now', { at: feedPlace, seenAt: feedPlace });
  const entering = seedRate({ ...context, trace: null }, { stream: feed, role: 'feed' }, span);
  const isFeeding = entering.known && entering.value >= context.setup.settings.feedKgPerHFloor;
  return unknownEstimate(isFeeding ? 'line-filling' : 'line-stopped');
}
