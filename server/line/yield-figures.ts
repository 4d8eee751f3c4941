import { cleanSeedYield } from '../calc/clean-seed-yield.ts';
import { known } from '../calc/figure.ts';
import { seedBeforeTreatment } from '../calc/seed-before-treatment.ts';
import { kilograms, MS_PER_HOUR } from '../calc/units.ts';
import type { FigureWindow } from '../contract/figure-message.ts';
import { allKnown, derived, unknownEstimate, type Estimate } from './estimate.ts';
import type { LineContext } from './line-context.ts';
import { isMeasuredLiquid, liquidMass, plannedLiquid } from './liquid-amounts.ts';
import {
  amountOf,
  floorOf,
  isLong,
  lengthOf,
  orFilling,
  quotient,
  type Seen,
  type Work,
} from './seen-amounts.ts';
import { unlessLagDecides } from './unless-lag-decides.ts';

/** Clean seed over the feed that it came from: the feed is taken as it was when this seed entered. */
export function yieldFigure(window: FigureWindow): Work {
  return (context) => {
    const inputs = feedAndClean(context, window);
    if ('known' in inputs) return inputs;
    const { feed, clean } = inputs;
    const figure = cleanSeedYield({
      feed: kilograms(feed.value),
      cleanSeed: kilograms(clean.value),
      feedFloor: kilograms(floorOf(context, window)),
    });
    const share = quotient(figure, clean, feed);
    return orFilling(context, window === 'ten-minutes' ? unlessLagDecides(share) : share);
  };
}

/** Feed less clean seed of the same seed: all rejects and losses together, as a rate or, over lot and shift, a mass. */
export function differenceFigure(window: FigureWindow): Work {
  return (context) => {
    const inputs = feedAndClean(context, window);
    if ('known' in inputs) return inputs;
    const { feed, clean } = inputs;
    const perHour = isLong(window) ? 1 : MS_PER_HOUR / lengthOf(context, window);
    const difference = derived(known((feed.value - clean.value) * perHour), [
      { of: feed, slope: perHour },
      { of: clean, slope: -perHour },
    ]);
    if (!difference.known || difference.value >= 0) return difference;
    // A little below zero is what two honest scales may differ by; more is a contradiction.
    const isHonest = -difference.value < floorOf(context, window) * perHour;
    return isHonest
      ? { ...difference, value: 0, quality: 'uncertain' }
      : unknownEstimate('inputs-inconsistent');
  };
}

/** Feed and clean seed of the same seed. */
export function feedAndClean(context: LineContext, window: FigureWindow) {
  const { feed, feedPlace, cleanPlace } = context.setup.layout;
  const seen = { window, seenAt: cleanPlace };
  const inputs = allKnown([
    amountOf(context, { stream: feed, role: 'feed', at: feedPlace }, seen),
    cleanAmount(context, seen),
  ]);
  if ('known' in inputs) return inputs;
  const [feedIn, cleanOut] = inputs;
  if (feedIn === undefined || cleanOut === undefined) return unknownEstimate('not-measured');
  return { feed: feedIn, clean: cleanOut };
}

/** Clean seed, kg: as it was weighed before treatment, else the treated seed less the liquid on it. */
function cleanAmount(context: LineContext, seen: Seen): Estimate {
  const { layout } = context.setup;
  if (layout.clean !== null || layout.treated === null)
    return amountOf(context, { stream: layout.clean, role: 'clean', at: layout.cleanPlace }, seen);
  const asked = { stream: layout.treated, role: 'treated', at: layout.treatedPlace } as const;
  const treated = amountOf(context, asked, seen);
  if (!treated.known) return treated;
  const isMeasured = layout.liquids.some(isMeasuredLiquid);
  const liquid = isMeasured ? liquidMass(context, seen) : plannedLiquid(context, treated);
  if (!liquid.known) return liquid;
  const seed = seedBeforeTreatment(kilograms(treated.value), kilograms(liquid.value));
  return derived(seed, [
    { of: treated, slope: 1 },
    { of: liquid, slope: -1 },
  ]);
}
