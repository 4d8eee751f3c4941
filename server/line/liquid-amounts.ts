import { slurryMix } from '../calc/dose/slurry-mix.ts';
import { known } from '../calc/figure.ts';
import { gramsPerMillilitre, millilitresPer100Kilograms, MS_PER_HOUR, MS_PER_MINUTE } from '../calc/units.ts';
import type { ProvenanceInput } from '../contract/figure-provenance.ts';
import type { Stream } from '../contract/line-graph.ts';
import type { Lot } from '../contract/records.ts';
import {
  allKnown,
  derived,
  unknownEstimate,
  type Cause,
  type Estimate,
  type KnownEstimate,
  type UnknownEstimate,
} from './estimate.ts';
import { runningAt, stretchBetween, type FlowStretch, type FlowTrack } from './flow-track.ts';
import { isLost, type LineContext } from './line-context.ts';
import { seenSpan, withLagError, type Seen } from './seen-amounts.ts';
import { rateOver } from './stream-amounts.ts';
import { givenInput } from './given-input.ts';
import type { Span } from './window-spans.ts';

const G_PER_KG = 1000;
/** Half-width of 95 % of a normal distribution, in standard deviations. */
const HALF_95 = 1.96;
/** A loss is the difference of two weights, each the mean of these instants: one weight alone scatters too much. */
const WEIGHED_OVER_MS = 20_000;
const WEIGHED_TIMES = 8;

/** How a volume came to be known. */
type Way = 'tank' | 'pump';

/** What one liquid stream put onto the seed, mL. Over ten minutes and more its tank is asked first, its pump for now. */
export function liquidVolume(context: LineContext, liquid: Stream, seen: Seen): Estimate {
  const hasTank = (liquid.liquid?.tankMassTag ?? null) !== null;
  const ways: readonly Way[] = seen.window === 'now' || !hasTank ? ['pump'] : ['tank', 'pump'];
  let first: Estimate | null = null;
  for (const way of ways) {
    const volume = way === 'tank' ? tankVolume(context, liquid, seen) : pumpVolume(context, liquid, seen);
    const span = seenSpan(context, context.setup.layout.treaterPlace, seen);
    if (volume.known) return withLagError(context, volume, { span, seen });
    first ??= volume;
  }
  return first ?? unknownEstimate('not-measured');
}

/** All liquid that seed has on it, kg: as measured. */
export function liquidMass(context: LineContext, seen: Seen): Estimate {
  const { liquids } = context.setup.layout;
  const masses = allKnown(
    liquids.map((liquid) => {
      const density = densityOf(liquid, context.lot);
      const volume = liquidVolume(context, liquid, seen);
      if (!volume.known || density === null) return volume.known ? unknownEstimate('not-measured') : volume;
      const slope = density / G_PER_KG;
      return derived(known(volume.value * slope), [{ of: volume, slope }]);
    }),
  );
  if ('known' in masses) return masses;
  const total = masses.reduce((sum, { value }) => sum + value, 0);
  return derived(
    known(total),
    masses.map((of) => ({ of, slope: 1 })),
  );
}

export function isMeasuredLiquid({ volumeFlowTag, liquid }: Stream): boolean {
  return volumeFlowTag !== null || (liquid?.tankMassTag ?? null) !== null;
}

/**
 * What of treated seed is liquid, kg, where nobody measures the liquid: by the lot's plan. A dryer leaves something
 * between the solids alone and all of it.
 *
 *     liquid = treated * k / (1 + k), k = sum(dose * density * retained) / bushel mass
 */
export function plannedLiquid({ setup, lot, bushelMassKg }: LineContext, treated: KnownEstimate): Estimate {
  if (lot === null) return unknownEstimate('no-lot');
  const products = setup.layout.liquids.flatMap(({ liquid }) => liquid?.products ?? []);
  let least = 0;
  let most = 0;
  for (const { name, densityGPerMl, solidsRatio = 0 } of products) {
    const planned = lot.products.find((product) => product.name === name);
    const kgPerKg = ((planned?.doseMlPerBu ?? 0) * densityGPerMl) / G_PER_KG / bushelMassKg;
    least += kgPerKg * solidsRatio;
    most += kgPerKg;
  }
  const ratio = (least + most) / 2;
  const share = ratio / (1 + ratio);
  const half = ((most - least) / 2) * treated.value;
  const byPlan = derived(known(treated.value * share), [{ of: treated, slope: share }]);
  if (!byPlan.known) return byPlan;
  const causes = byPlan.causes === null ? null : [...byPlan.causes, { cause: 'recipe', half }];
  return { ...byPlan, quality: 'uncertain', causes };
}

/**
 * Density of what comes out of a tank, g/mL: of its product, or of the mixture by the lot's recipe. Null where the plan
 * does not say how the products are mixed.
 */
export function densityOf({ liquid }: Stream, lot: Lot | null): number | null {
  if (liquid === undefined) return null;
  const [only, second] = liquid.products;
  if (only !== undefined && second === undefined) return only.densityGPerMl;
  return recipeOf(liquid.products, lot)?.density ?? null;
}

/** The mixture of several products as the lot's plan doses them; null where the plan lacks one. */
export function recipeOf(
  products: readonly { readonly name: string; readonly densityGPerMl: number }[],
  lot: Lot | null,
) {
  const parts = products.flatMap(({ name, densityGPerMl }) => {
    const planned = lot?.products.find((product) => product.name === name);
    // Only the proportions matter, and they are the same over a bushel and over 100 kg.
    return planned === undefined
      ? []
      : [
          {
            dose: millilitresPer100Kilograms(planned.doseMlPerBu),
            density: gramsPerMillilitre(densityGPerMl),
          },
        ];
  });
  return parts.length === products.length && parts.length > 0 ? slurryMix(parts) : null;
}

function pumpVolume(context: LineContext, liquid: Stream, seen: Seen): Estimate {
  const span = seenSpan(context, context.setup.layout.treaterPlace, seen);
  const rate = rateOver(context, { role: 'liquid', stream: liquid.id, tag: liquid.volumeFlowTag }, span);
  if (!rate.known || !span.known) return rate;
  const minutes = (span.toMs - span.fromMs) / MS_PER_MINUTE;
  return derived(known(rate.value * minutes), [{ of: rate, slope: minutes }]);
}

function tankVolume(context: LineContext, liquid: Stream, seen: Seen): Estimate {
  const tag = liquid.liquid?.tankMassTag ?? null;
  const density = densityOf(liquid, context.lot);
  if (tag === null || density === null) return unknownEstimate('not-measured');
  const span = seenSpan(context, context.setup.layout.treaterPlace, seen);
  const loss = span.known ? tankLossOver(context, tag, span) : span;
  context.trace?.(tankInput(context, { tag, stream: liquid.id }, { span, estimate: loss }));
  if (!loss.known) return loss;
  const slope = G_PER_KG / density;
  return derived(known(loss.value * slope), [{ of: loss, slope }]);
}

function tankInput(
  { frame, setup }: LineContext,
  { tag, stream }: { readonly tag: string; readonly stream: string },
  { span, estimate }: { readonly span: Span | UnknownEstimate; readonly estimate: Estimate },
): ProvenanceInput {
  return {
    ...givenInput({ role: 'liquid', stream, unit: 'kg', takenMs: null }, estimate),
    tag,
    fromMs: span.known ? span.fromMs : null,
    toMs: span.known ? span.toMs : null,
    newestMs: frame.latest.get(tag)?.sourceTimeMs ?? null,
    error: setup.tracked.get(tag)?.error ?? null,
  };
}

/** What a tank lost over a stretch, kg; what it lost while it was refilled is held and makes it uncertain. */
function tankLossOver(context: LineContext, tag: string, span: Span): Estimate {
  const unreadable = unreadableTank(context, tag);
  const track = context.tanks.get(tag)?.losses;
  if (unreadable !== null) return unreadable;
  if (track === undefined) return unknownEstimate('waiting-for-first-reading');
  const stretch = lossBetween(context, { tag, track }, span);
  const lengthMs = span.toMs - span.fromMs;
  const coveredRatio = Math.min(1, stretch.coveredMs / lengthMs);
  if (!(coveredRatio >= context.setup.settings.coveredRatioMin)) return unknownEstimate('window-uncovered');
  const kg = Math.max(0, ((stretch.total / stretch.coveredMs) * lengthMs) / MS_PER_HOUR);
  const quality = stretch.doubtfulMs > 0 ? 'uncertain' : 'good';
  return {
    known: true,
    value: kg,
    quality,
    coveredRatio,
    causes: tankCauses(context, tag, { kg, coveredRatio, weighings: weighingsOf(track, span) }),
  };
}

function unreadableTank(context: LineContext, tag: string): UnknownEstimate | null {
  const description = context.setup.tracked.get(tag);
  if (description === undefined) return unknownEstimate('not-measured');
  if (isLost(context, tag)) return unknownEstimate('link-down');
  const newest = context.frame.latest.get(tag);
  if (newest === undefined) return unknownEstimate('waiting-for-first-reading');
  if (newest.quality === 'bad') return unknownEstimate('tag-bad');
  const isStale = context.frame.endMs - newest.sourceTimeMs > description.staleAfterMs;
  return isStale ? unknownEstimate('tag-stale') : null;
}

/** Both ends of a short stretch are weighed alike, so that the delay of the mean cancels. */
function weighedAt(track: FlowTrack, timeMs: number): FlowStretch {
  let total = 0;
  for (let step = 0; step < WEIGHED_TIMES; step += 1) {
    const agoMs = (WEIGHED_OVER_MS * (step + 0.5)) / WEIGHED_TIMES;
    total += runningAt(track, timeMs - agoMs, 0).total / WEIGHED_TIMES;
  }
  return { ...runningAt(track, timeMs, 0), total };
}

/** What a tank lost from the begin of a lot or shift on, or over a short stretch. */
function lossBetween(context: LineContext, at: { tag: string; track: FlowTrack }, span: Span): FlowStretch {
  const { tag, track } = at;
  if (span.anchor === null) return stretchBetween(weighedAt(track, span.fromMs), weighedAt(track, span.toMs));
  const before = context.anchors.runningAt({ anchor: span.anchor, tag }, track, span.fromMs);
  return stretchBetween(before, runningAt(track, span.toMs, 0));
}

/** How many weights each end of a stretch rests on: the ends of a lot are one each, those of a short stretch a mean. */
function weighingsOf(track: FlowTrack, { anchor, toMs }: Span): number {
  if (anchor !== null) return 1;
  const read = runningAt(track, toMs, 0).count - runningAt(track, toMs - WEIGHED_OVER_MS, 0).count;
  return Math.min(WEIGHED_TIMES, Math.max(1, Math.floor(read)));
}

/** The tolerance of a scale's zero is the same at both ends; only its span counts for a difference. */
function tankCauses(
  context: LineContext,
  tag: string,
  loss: { readonly kg: number; readonly coveredRatio: number; readonly weighings: number },
): readonly Cause[] | null {
  const error = context.setup.tracked.get(tag)?.error;
  if (error === undefined) return null;
  const scatter = (HALF_95 * error.scatter * Math.SQRT2) / Math.sqrt(loss.weighings);
  return [
    { cause: tag, half: error.toleranceRatio * loss.kg },
    { cause: `scatter ${tag}`, half: scatter },
    ...(loss.coveredRatio < 1 ? [{ cause: 'gaps', half: (1 - loss.coveredRatio) * loss.kg }] : []),
  ];
}
