import { closure } from '../calc/closure.ts';
import { known } from '../calc/figure.ts';
import { rejectRatio } from '../calc/reject-ratio.ts';
import { rejectShare } from '../calc/reject-share.ts';
import { kilograms } from '../calc/units.ts';
import type { FigureWindow } from '../contract/figure-message.ts';
import type { InputRole } from '../contract/figure-provenance.ts';
import type { Stream } from '../contract/line-graph.ts';
import { allKnown, derived, unknownEstimate, type Part } from './estimate.ts';
import { isBypassed } from './line-context.ts';
import type { RejectOutlet } from './line-layout.ts';
import { amountOf, floorOf, orFilling, quotient, rejectOf, type Asked, type Work } from './seen-amounts.ts';
import { seedRate } from './stream-amounts.ts';

/** The mean of one weighed stream; of a machine that is bypassed there is none. */
export function rateFigure(asked: { stream: Stream; role: InputRole }, machine: string | null = null): Work {
  return (context) => {
    if (isBypassed(context, machine)) return unknownEstimate('machine-bypassed');
    const { endMs } = context.frame;
    const fromMs = endMs - context.setup.settings.nowWindowMs;
    return seedRate(context, asked, { known: true, fromMs, toMs: endMs, anchor: null });
  };
}

/** What passed one stream in this lot or shift: what was seen, not more; its covered share says what was not. */
export function massFigure(asked: Asked, window: 'lot' | 'shift', machine: string | null = null): Work {
  return (context) => {
    if (isBypassed(context, machine)) return unknownEstimate('machine-bypassed');
    const mass = amountOf(context, asked, { window, seenAt: asked.at });
    if (!mass.known || mass.coveredRatio === 1) return mass;
    const { coveredRatio } = mass;
    return derived(known(mass.value * coveredRatio), [{ of: mass, slope: coveredRatio }]);
  };
}

/** A machine's reject over its own feed: the line's feed less what the machines before it took of the same seed. */
export function rejectRatioFigure(outlet: RejectOutlet, window: FigureWindow): Work {
  return (context) => {
    if (isBypassed(context, outlet.machine.id)) return unknownEstimate('machine-bypassed');
    const { layout } = context.setup;
    const seen = { window, seenAt: outlet.place };
    const before = layout.rejects.filter(({ place }) => place < outlet.place);
    const inputs = allKnown([
      amountOf(context, { stream: layout.feed, role: 'feed', at: layout.feedPlace }, seen),
      rejectOf(context, outlet, seen),
      ...before.map((other) => rejectOf(context, other, seen)),
    ]);
    if ('known' in inputs) return inputs;
    const [feed, reject, ...taken] = inputs;
    if (feed === undefined || reject === undefined) return unknownEstimate('not-measured');
    const machineFeed = feed.value - taken.reduce((sum, { value }) => sum + value, 0);
    if (machineFeed < 0) return unknownEstimate('inputs-inconsistent');
    const figure = rejectRatio({
      machineFeed: kilograms(machineFeed),
      reject: kilograms(reject.value),
      machineFeedFloor: kilograms(floorOf(context, window)),
    });
    const slope = reject.value / machineFeed ** 2;
    return orFilling(
      context,
      derived(figure, [
        { of: reject, slope: 1 / machineFeed },
        { of: feed, slope: -slope },
        ...taken.map((other): Part => ({ of: other, slope })),
      ]),
    );
  };
}

/** A machine's reject over the line's feed. */
export function rejectShareFigure(outlet: RejectOutlet, window: FigureWindow): Work {
  return (context) => {
    if (isBypassed(context, outlet.machine.id)) return unknownEstimate('machine-bypassed');
    const { feed, feedPlace } = context.setup.layout;
    const seen = { window, seenAt: outlet.place };
    const inputs = allKnown([
      amountOf(context, { stream: feed, role: 'feed', at: feedPlace }, seen),
      rejectOf(context, outlet, seen),
    ]);
    if ('known' in inputs) return inputs;
    const [lineFeed, reject] = inputs;
    if (lineFeed === undefined || reject === undefined) return unknownEstimate('not-measured');
    const figure = rejectShare({
      lineFeed: kilograms(lineFeed.value),
      reject: kilograms(reject.value),
      lineFeedFloor: kilograms(floorOf(context, window)),
    });
    return orFilling(context, quotient(figure, reject, lineFeed));
  };
}

/** What entered less what left, over what entered, cleaning only: each stream as it was for the same seed. */
export function closureFigure(window: FigureWindow): Work {
  return (context) => {
    const { layout } = context.setup;
    const seen = { window, seenAt: layout.cleanPlace };
    const outlets = layout.rejects.filter(({ place }) => place <= layout.cleanPlace);
    const inputs = allKnown([
      amountOf(context, { stream: layout.feed, role: 'feed', at: layout.feedPlace }, seen),
      amountOf(context, { stream: layout.clean, role: 'clean', at: layout.cleanPlace }, seen),
      ...outlets.map((outlet) => rejectOf(context, outlet, seen)),
    ]);
    if ('known' in inputs) return inputs;
    const [feed, product, ...rejects] = inputs;
    if (feed === undefined || product === undefined) return unknownEstimate('not-measured');
    const figure = closure({
      feed: kilograms(feed.value),
      liquidRetained: kilograms(0),
      product: kilograms(product.value),
      rejects: rejects.map(({ value }) => kilograms(value)),
      losses: kilograms(0),
      binGain: kilograms(0),
      feedFloor: kilograms(floorOf(context, window)),
    });
    const share = figure.known ? figure.value : 0;
    const left = [product, ...rejects].map((of): Part => ({ of, slope: -1 / feed.value }));
    const parts = [{ of: feed, slope: (1 - share) / feed.value }, ...left];
    return orFilling(context, derived(figure, parts));
  };
}
