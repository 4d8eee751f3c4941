import { known } from '../calc/figure.ts';
import { dryMatter } from '../calc/moisture/dry-matter.ts';
import { cleanSeedYield } from '../calc/clean-seed-yield.ts';
import { kilograms, ratio, MS_PER_HOUR } from '../calc/units.ts';
import type { FigureWindow } from '../contract/figure-message.ts';
import type { Stream } from '../contract/line-graph.ts';
import {
  allKnown,
  derived,
  unknownEstimate,
  type Estimate,
  type KnownEstimate,
  type UnknownEstimate,
} from './estimate.ts';
import type { LineContext } from './line-context.ts';
import type { LineLayout } from './line-layout.ts';
import { liquidMass } from './liquid-amounts.ts';
import { amountOf, floorOf, lengthOf, orFilling, seenSpan, type Work } from './seen-amounts.ts';
import { rateOver } from './stream-amounts.ts';
import { feedAndClean } from './yield-figures.ts';

/** Beyond it no seed is weighed: the meter is broken. */
const MOISTURE_MAX = 0.6;
const HALF = 0.5;

/** Moisture of a stream's seed, wet basis. */
export function moistureFigure(stream: Stream, at: number): Work {
  return (context) => moistureOf(context, { stream, at }, { window: 'now', seenAt: at });
}

/** Clean seed over feed, both without their water: a dryer, or a wet morning, does not change it. */
export function dryYieldFigure(window: FigureWindow): Work {
  return (context) => {
    const masses = feedAndClean(context, window);
    if ('known' in masses) return masses;
    const { feed, clean, feedPlace, cleanPlace } = context.setup.layout;
    const seen = { window, seenAt: cleanPlace };
    const moistures = allKnown([
      moistureOf(context, { stream: feed, at: feedPlace }, seen),
      moistureOf(context, { stream: clean, at: cleanPlace }, seen),
    ]);
    if ('known' in moistures) return moistures;
    const [wetIn, wetOut] = moistures;
    if (wetIn === undefined || wetOut === undefined) return unknownEstimate('not-measured');
    const dryFeed = dryMatter(kilograms(masses.feed.value), ratio(wetIn.value));
    const dryClean = dryMatter(kilograms(masses.clean.value), ratio(wetOut.value));
    const feedFloor = kilograms(floorOf(context, window));
    const figure = cleanSeedYield({ feed: dryFeed, cleanSeed: dryClean, feedFloor });
    const share: number = figure.known ? figure.value : 0;
    return orFilling(
      context,
      derived(figure, [
        { of: masses.clean, slope: share / masses.clean.value || 0 },
        { of: masses.feed, slope: -share / masses.feed.value },
        { of: wetOut, slope: -share / (1 - wetOut.value) },
        { of: wetIn, slope: share / (1 - wetIn.value) },
      ]),
    );
  };
}

/**
 * Water that leaves between the treater's seed scale and the last moisture meter, kg/h: what came with seed and liquid
 * less what is still in it.
 *
 *     removed = seed * wetIn + liquid * (1 - solids) - (seed * (1 - wetIn) + liquid * solids) * wetOut / (1 - wetOut)
 */
export function waterRemovedFigure(): Work {
  return (context) => {
    const drying = dryingOf(context, context.setup.layout.path.findLastIndex(hasMoisture));
    if ('because' in drying) return drying;
    const { liquid } = drying;
    const net = netOfDrying(drying);
    if (!net.known) return net;
    return derived(known(liquid.value - net.value), [
      { of: liquid, slope: 1 },
      { of: net, slope: -1 },
    ]);
  };
}

/**
 * What seed gains between the treater's seed scale and the last scale, kg/h: liquid less evaporated water. Without
 * moisture meters nobody knows how much of the liquid a dryer takes: half of it, give or take the other half.
 */
export function netLiquidRate(context: LineContext, seenAt: number): Estimate {
  const drying = dryingOf(context, seenAt);
  if (!('because' in drying)) return netOfDrying(drying);
  const liquid = liquidRate(context, seenAt);
  if (!liquid.known) return liquid;
  const isDried = context.setup.graph.machines.some(({ kind }) => kind === 'dryer');
  if (!isDried) return liquid;
  const half = liquid.value * HALF;
  return { ...liquid, value: half, causes: [...(liquid.causes ?? []), { cause: 'drying', half }] };
}

interface Drying {
  /** All kg/h. */
  readonly seed: KnownEstimate;
  readonly liquid: KnownEstimate;
  readonly wetIn: KnownEstimate;
  readonly wetOut: KnownEstimate;
  readonly solidsRatio: number;
}

function dryingOf(context: LineContext, seenAt: number): Drying | UnknownEstimate {
  const { layout } = context.setup;
  const meters = metersAround(layout);
  if (meters === null) return unknownEstimate('not-measured');
  const { before, after } = meters;
  const seen = { window: 'ten-minutes', seenAt } as const;
  const asked = { stream: layout.treaterFeed, role: 'seed', at: layout.treaterFeedPlace } as const;
  const mass = amountOf(context, asked, seen);
  const wetIn = moistureOf(context, { stream: layout.path[before] ?? null, at: before }, seen);
  const wetOut = moistureOf(context, { stream: layout.path[after] ?? null, at: after }, seen);
  const liquid = liquidRate(context, seenAt);
  for (const input of [mass, wetIn, wetOut, liquid]) if (!input.known) return input;
  if (!mass.known || !wetIn.known || !wetOut.known || !liquid.known) return unknownEstimate('not-measured');
  const perHour = MS_PER_HOUR / lengthOf(context, 'ten-minutes');
  const seed = { ...mass, ...scaled(mass, perHour) };
  return { seed, wetIn, wetOut, liquid, solidsRatio: solidsRatioOf(layout.liquids) };
}

function scaled({ value, causes }: KnownEstimate, factor: number) {
  const scaledCauses = causes?.map(({ cause, half }) => ({ cause, half: half * factor })) ?? null;
  return { value: value * factor, causes: scaledCauses };
}

/** Dry matter of seed and liquid, with the water that it leaves with, less the seed. */
function netOfDrying({ seed, wetIn, wetOut, liquid, solidsRatio }: Drying): Estimate {
  const dry = seed.value * (1 - wetIn.value) + liquid.value * solidsRatio;
  const perDry = 1 / (1 - wetOut.value);
  return derived(known(dry * perDry - seed.value), [
    { of: seed, slope: (1 - wetIn.value) * perDry - 1 },
    { of: wetIn, slope: -seed.value * perDry },
    { of: wetOut, slope: dry * perDry ** 2 },
    { of: liquid, slope: solidsRatio * perDry },
  ]);
}

/** The liquid that goes onto the seed, kg/h. */
function liquidRate(context: LineContext, seenAt: number): Estimate {
  const mass = liquidMass(context, { window: 'ten-minutes', seenAt });
  if (!mass.known) return mass;
  const perHour = MS_PER_HOUR / lengthOf(context, 'ten-minutes');
  return derived(known(mass.value * perHour), [{ of: mass, slope: perHour }]);
}

/** What of the liquids is no water, by the mean of their products; without a statement, nothing. */
function solidsRatioOf(liquids: readonly Stream[]): number {
  const products = liquids.flatMap(({ liquid }) => liquid?.products ?? []);
  const solids = products.reduce((sum, { solidsRatio = 0 }) => sum + solidsRatio, 0);
  return solids / Math.max(1, products.length);
}

function hasMoisture({ moistureTag = null }: Stream): boolean {
  return moistureTag !== null;
}

/** Places of the moisture meters next before the treater and last behind it. */
function metersAround({ path, treaterPlace }: LineLayout): { before: number; after: number } | null {
  const before = path.slice(0, treaterPlace + 1).findLastIndex(hasMoisture);
  const after = path.findLastIndex(hasMoisture);
  return before === -1 || after <= treaterPlace ? null : { before, after };
}

function moistureOf(
  context: LineContext,
  { stream, at }: { readonly stream: Stream | null; readonly at: number },
  seen: { readonly window: FigureWindow; readonly seenAt: number },
): Estimate {
  const source = { role: 'moisture', stream: stream?.id ?? null, tag: stream?.moistureTag ?? null } as const;
  const moisture = rateOver(context, source, seenSpan(context, at, seen));
  if (moisture.known && moisture.value >= MOISTURE_MAX) return unknownEstimate('inputs-inconsistent');
  return moisture;
}
