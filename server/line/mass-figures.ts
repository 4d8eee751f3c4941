import { cleanSeedYield } from '../calc/clean-seed-yield.ts';
import { closure } from '../calc/closure.ts';
import type { Figure } from '../calc/figure.ts';
import { rejectRatio } from '../calc/reject-ratio.ts';
import { rejectShare } from '../calc/reject-share.ts';
import { kilogramsPerHour } from '../calc/units.ts';
import type { FigureWindow } from '../contract/figure-message.ts';
import type { Stream } from '../contract/line-graph.ts';
import { allKnown, standingOf, unknownEstimate, type Estimate, type KnownEstimate } from './estimate.ts';
import { isBypassed, rateOf, wayMs, type LineContext } from './line-context.ts';
import type { LineLayout, RejectOutlet } from './line-layout.ts';

type Work = (context: LineContext) => Estimate;

const TEN_MINUTES_MS = 600_000;

/** The mean of one weighed stream; of a machine that is bypassed there is none. */
export function rateFigure(tag: string | null, machine: string | null = null): Work {
  return (context) =>
    isBypassed(context, machine)
      ? unknownEstimate('machine-bypassed')
      : rateOf(context, tag, { lengthMs: context.setup.settings.nowWindowMs, agoMs: 0 });
}

/** Clean seed over the feed that it came from: the feed is taken as it was when this seed entered. */
export function yieldFigure(window: FigureWindow): Work {
  return (context) => {
    const { layout, settings } = context.setup;
    const lengthMs = windowMs(context, window);
    const feed = feedSeenAt(context, placeOf(layout, layout.clean), { lengthMs, agoMs: 0 });
    const clean = rateOf(context, layout.clean?.massFlowTag ?? null, { lengthMs, agoMs: 0 });
    const inputs = allKnown([feed, clean]);
    if ('known' in inputs) return inputs;
    const [feedIn, cleanOut] = inputs;
    if (feedIn === undefined || cleanOut === undefined) return unknownEstimate('not-measured');
    const figure = cleanSeedYield({
      feed: kilogramsPerHour(feedIn.value),
      cleanSeed: kilogramsPerHour(cleanOut.value),
      feedFloor: kilogramsPerHour(settings.feedKgPerHFloor),
    });
    return estimateOf(context, figure, inputs);
  };
}

/** A machine's reject over its own feed: the line's feed less what the machines before it took of the same seed. */
export function rejectRatioFigure(outlet: RejectOutlet): Work {
  return (context) => {
    if (isBypassed(context, outlet.machine.id)) return unknownEstimate('machine-bypassed');
    const window = { lengthMs: windowMs(context, 'now'), agoMs: 0 };
    const before = context.setup.layout.rejects.filter(({ place }) => place < outlet.place);
    const inputs = allKnown([
      feedSeenAt(context, outlet.place, window),
      rateOf(context, outlet.stream.massFlowTag, window),
      ...before.map((other) =>
        rejectSeenAt(context, other, { place: outlet.place, lengthMs: window.lengthMs }),
      ),
    ]);
    if ('known' in inputs) return inputs;
    const [feed, reject, ...taken] = inputs;
    if (feed === undefined || reject === undefined) return unknownEstimate('not-measured');
    const machineFeed = feed.value - taken.reduce((sum, { value }) => sum + value, 0);
    if (machineFeed < 0) return unknownEstimate('inputs-inconsistent');
    const figure = rejectRatio({
      machineFeed: kilogramsPerHour(machineFeed),
      reject: kilogramsPerHour(reject.value),
      machineFeedFloor: kilogramsPerHour(context.setup.settings.feedKgPerHFloor),
    });
    return estimateOf(context, figure, inputs);
  };
}

/** A machine's reject over the line's feed. */
export function rejectShareFigure(outlet: RejectOutlet): Work {
  return (context) => {
    if (isBypassed(context, outlet.machine.id)) return unknownEstimate('machine-bypassed');
    const window = { lengthMs: windowMs(context, 'now'), agoMs: 0 };
    const feed = feedSeenAt(context, outlet.place, window);
    const inputs = allKnown([feed, rateOf(context, outlet.stream.massFlowTag, window)]);
    if ('known' in inputs) return inputs;
    const [lineFeed, reject] = inputs;
    if (lineFeed === undefined || reject === undefined) return unknownEstimate('not-measured');
    const figure = rejectShare({
      lineFeed: kilogramsPerHour(lineFeed.value),
      reject: kilogramsPerHour(reject.value),
      lineFeedFloor: kilogramsPerHour(context.setup.settings.feedKgPerHFloor),
    });
    return estimateOf(context, figure, inputs);
  };
}

/** What entered less what left, over what entered, cleaning only: each stream as it was for the same seed. */
export function closureFigure(window: FigureWindow): Work {
  return (context) => {
    const { layout, settings } = context.setup;
    const lengthMs = windowMs(context, window);
    const place = placeOf(layout, layout.clean);
    const inputs = allKnown([
      feedSeenAt(context, place, { lengthMs, agoMs: 0 }),
      rateOf(context, layout.clean?.massFlowTag ?? null, { lengthMs, agoMs: 0 }),
      ...layout.rejects
        .filter((outlet) => outlet.place <= place)
        .map((outlet) => rejectSeenAt(context, outlet, { place, lengthMs })),
    ]);
    if ('known' in inputs) return inputs;
    const [feed, product, ...rejects] = inputs;
    if (feed === undefined || product === undefined) return unknownEstimate('not-measured');
    const figure = closure({
      feed: kilogramsPerHour(feed.value),
      liquidRetained: kilogramsPerHour(0),
      product: kilogramsPerHour(product.value),
      rejects: rejects.map(({ value }) => kilogramsPerHour(value)),
      losses: kilogramsPerHour(0),
      binGain: kilogramsPerHour(0),
      feedFloor: kilogramsPerHour(settings.feedKgPerHFloor),
    });
    return estimateOf(context, figure, inputs);
  };
}

function windowMs(context: LineContext, window: FigureWindow): number {
  return window === 'now' ? context.setup.settings.nowWindowMs : TEN_MINUTES_MS;
}

function placeOf(layout: LineLayout, stream: Stream | null): number {
  return layout.path.findIndex(({ id }) => id === stream?.id);
}

/** The feed as it was when the seed that is now at `path[place]` entered. */
function feedSeenAt(
  context: LineContext,
  place: number,
  window: { lengthMs: number; agoMs: number },
): Estimate {
  const tag = context.setup.layout.feed?.massFlowTag ?? null;
  return rateOf(context, tag, { ...window, agoMs: window.agoMs + wayMs(context, place) });
}

/** What another machine took of the seed that is now at `path[place]`; a bypassed one took nothing. */
function rejectSeenAt(
  context: LineContext,
  outlet: RejectOutlet,
  seen: { place: number; lengthMs: number },
): Estimate {
  if (isBypassed(context, outlet.machine.id))
    return { known: true, value: 0, quality: 'good', coveredRatio: 1 };
  const agoMs = wayMs(context, seen.place) - wayMs(context, outlet.place);
  return rateOf(context, outlet.stream.massFlowTag, { lengthMs: seen.lengthMs, agoMs });
}

function estimateOf(
  context: LineContext,
  figure: Figure<number>,
  inputs: readonly KnownEstimate[],
): Estimate {
  if (figure.known) return { known: true, value: figure.value, ...standingOf(inputs) };
  const isFilling = figure.because === 'line-stopped' && isFeeding(context);
  return unknownEstimate(isFilling ? 'line-filling' : figure.because);
}

/** Seed is entering, though none has come this far yet. */
function isFeeding(context: LineContext): boolean {
  const feed = rateFigure(context.setup.layout.feed?.massFlowTag ?? null)(context);
  return feed.known && feed.value >= context.setup.settings.feedKgPerHFloor;
}
