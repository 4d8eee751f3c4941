import type { InputRole, ProvenanceInput } from '../contract/figure-provenance.ts';
import type { Stream } from '../contract/line-graph.ts';
import type { InstrumentError, TagDescription } from '../contract/tag-description.ts';
import { MS_PER_HOUR } from '../calc/units.ts';
import { derived, exactEstimate, unknownEstimate, type Estimate, type UnknownEstimate } from './estimate.ts';
import { newestMs, runningAt, stretchBetween, type FlowTrack } from './flow-track.ts';
import { handCatch } from './hand-catch.ts';
import { isBypassed, isLost, wayErrorMs, waySpreadMs, type LineContext } from './line-context.ts';
import { mixedRate } from './mixed-rate.ts';
import { rateEstimate } from './rate-estimate.ts';
import { givenInput } from './given-input.ts';
import type { Place, Span } from './window-spans.ts';

/** Which tag is asked for, as what. */
export interface Source {
  readonly role: InputRole;
  readonly stream: string | null;
  readonly tag: string | null;
  /** The instrument whose error it has; left out, the tag itself. */
  readonly instrument?: string | null;
}

/** A zero that drifts by less than this share of the feed floor is a scale's zero, not a flow backwards. */
const ZERO_BAND_OF_FLOOR = 0.2;
/** The same for anything that is not seed: a share of the instrument's range. */
const ZERO_BAND_OF_RANGE = 0.01;
/** Within less time a counter moves by too few of its steps: it would show one bag, or none. */
const COUNTED_MS_MIN = 300_000;
const HALF_95 = 1.96;

function sourceOf(stream: Stream | null, role: InputRole): Source {
  const instrument = stream?.massFlowTag ?? stream?.massTotalTag ?? null;
  return { role, stream: stream?.id ?? null, tag: stream?.massFlowTag ?? null, instrument };
}

/** The mean rate of a tag over a stretch, or the plainest reason why it cannot be known now. */
export function rateOver(context: LineContext, source: Source, span: Span | UnknownEstimate): Estimate {
  const estimate = span.known ? rateUntraced(context, source, span) : span;
  context.trace?.(traced(context, source, { span, estimate }));
  return estimate;
}

/** The rate of a seed stream: by its scale, else by the latest catch by hand; nothing where its machine is bypassed. */
export function seedRate(
  context: LineContext,
  asked: { readonly stream: Stream | null; readonly role: InputRole },
  span: Span | UnknownEstimate,
): Estimate {
  const { stream, role } = asked;
  if (stream?.role === 'reject' && isBypassed(context, stream.from)) return exactEstimate(0);
  if (stream !== null && stream.massFlowTag === null && stream.massTotalTag === null)
    return handCatch(context, stream, role);
  const source = sourceOf(stream, role);
  return rateOver(context, source.tag === null ? totaliserOf(stream, role) : source, span);
}

/**
 * The mass of a seed stream over a stretch, kg. Over a lot or a shift its totaliser is asked first: it goes on counting
 * while nobody reads it, and it does not scatter.
 */
export function seedMass(
  context: LineContext,
  asked: { readonly stream: Stream | null; readonly role: InputRole },
  span: Span | UnknownEstimate,
): Estimate {
  if (!span.known) return span;
  const hours = (span.toMs - span.fromMs) / MS_PER_HOUR;
  const prefersTotal = span.anchor !== null && (asked.stream?.massTotalTag ?? null) !== null;
  const counted = prefersTotal ? rateOver(context, totaliserOf(asked.stream, asked.role), span) : null;
  const rate = counted?.known === true ? counted : seedRate(context, asked, span);
  if (!rate.known) return rate;
  return derived({ known: true, value: rate.value * hours }, [{ of: rate, slope: hours }]);
}

/**
 * The mean rate of a stream for the seed that is now seen elsewhere. The lag is known within an error: what the rate
 * would be a little earlier or later says how much that matters.
 */
export function laggedRate(
  context: LineContext,
  asked: { readonly stream: Stream | null; readonly role: InputRole },
  seen: { readonly place: Place; readonly lengthMs: number },
): Estimate {
  const { frame, ways } = context;
  const lagMs = (ways[seen.place.seenAt] ?? 0) - (ways[seen.place.at] ?? 0);
  const toMs = frame.endMs - lagMs;
  const span: Span = { known: true, fromMs: toMs - seen.lengthMs, toMs, anchor: null };
  // The feed of the line is what changes most; what other machines took follows it smoothed already.
  const spreadMs = asked.role === 'feed' ? waySpreadMs(context, seen.place.at, seen.place.seenAt) : 0;
  const unasked = { ...context, trace: null };
  const rate = mixedRate(span, spreadMs, (part) => seedRate(part === span ? context : unasked, asked, part));
  const errorMs = wayErrorMs(context, seen.place.at, seen.place.seenAt);
  if (!rate.known || rate.causes === null || errorMs === 0) return rate;
  const early = shiftedRate(context, asked.stream, { span, byMs: -errorMs });
  const late = shiftedRate(context, asked.stream, { span, byMs: errorMs });
  if (early === null || late === null) return rate;
  return { ...rate, causes: [...rate.causes, { cause: 'lag', half: Math.abs(late - early) / 2 }] };
}

function totaliserOf(stream: Stream | null, role: InputRole): Source {
  return { ...sourceOf(stream, role), tag: stream?.massTotalTag ?? null };
}

function rateUntraced(context: LineContext, source: Source, span: Span): Estimate {
  const { tag } = source;
  const description = tag === null ? undefined : context.setup.tracked.get(tag);
  if (tag === null || description === undefined) return unknownEstimate('not-measured');
  const reason = unreadable(context, description);
  if (reason !== null) return reason;
  const track = context.tracks.get(tag);
  if (track === undefined || newestMs(track) === null) return unknownEstimate('waiting-for-first-reading');
  const { settings } = context.setup;
  const isTooShort = track.counter !== null && span.toMs - span.fromMs < COUNTED_MS_MIN;
  if (isTooShort) return unknownEstimate('window-uncovered');
  return rateEstimate(stretchOf(context, { tag, track, description }, span), {
    lengthMs: span.toMs - span.fromMs,
    coveredRatioMin: settings.coveredRatioMin,
    zeroBand: zeroBandOf(context, description),
    error: errorOver(context, source, span),
    instrument: source.instrument ?? tag,
  });
}

function unreadable(context: LineContext, { id, staleAfterMs }: TagDescription): UnknownEstimate | null {
  if (isLost(context, id)) return unknownEstimate('link-down');
  const newest = context.frame.latest.get(id);
  if (newest === undefined) return unknownEstimate('waiting-for-first-reading');
  if (newest.quality === 'bad') return unknownEstimate('tag-bad');
  if (context.frame.endMs - newest.sourceTimeMs > staleAfterMs) return unknownEstimate('tag-stale');
  return null;
}

interface Tracked {
  readonly tag: string;
  readonly track: FlowTrack;
  readonly description: TagDescription;
}

function stretchOf(context: LineContext, { tag, track, description }: Tracked, span: Span) {
  const heldMs = description.staleAfterMs;
  const before =
    span.anchor === null
      ? runningAt(track, span.fromMs, heldMs)
      : context.anchors.runningAt({ anchor: span.anchor, tag }, track, span.fromMs);
  return stretchBetween(before, runningAt(track, span.toMs, heldMs));
}

function shiftedRate(
  context: LineContext,
  stream: Stream | null,
  { span, byMs }: { span: Span; byMs: number },
): number | null {
  const tag = stream?.massFlowTag ?? stream?.massTotalTag ?? '';
  const track = context.tracks.get(tag);
  const description = context.setup.tracked.get(tag);
  if (track === undefined || description === undefined) return null;
  const shifted = { ...span, fromMs: span.fromMs + byMs, toMs: span.toMs + byMs };
  const { total, coveredMs } = stretchOf(context, { tag, track, description }, shifted);
  return coveredMs > 0 ? total / coveredMs : null;
}

function zeroBandOf({ setup }: LineContext, { unit, rangeHigh }: TagDescription): number {
  const isSeed = unit === 'kg/h' || unit === 'kg' || rangeHigh === null;
  return isSeed ? setup.settings.feedKgPerHFloor * ZERO_BAND_OF_FLOOR : rangeHigh * ZERO_BAND_OF_RANGE;
}

/** What a counter may show too early or too late at both ends of a stretch makes its rate wrong by so much an hour. */
function errorOver(context: LineContext, source: Source, { fromMs, toMs }: Span): InstrumentError | null {
  const error = errorOf(context, source);
  if (error === null || !context.setup.counters.has(source.tag ?? '')) return error;
  const hours = (toMs - fromMs) / MS_PER_HOUR;
  const tolerance = (HALF_95 * Math.SQRT2 * error.scatter) / hours;
  return { toleranceRatio: error.toleranceRatio, tolerance, scatterRatio: 0, scatter: 0 };
}

/** A totaliser adds up what its scale indicates: it has the scale's tolerance and no scatter. */
function errorOf({ setup }: LineContext, { tag, instrument }: Source): InstrumentError | null {
  const own = setup.tracked.get(tag ?? '')?.error;
  if (own !== undefined) return own;
  const scale = setup.tracked.get(instrument ?? '')?.error;
  return scale === undefined ? null : { ...scale, scatterRatio: 0, scatter: 0 };
}

function traced(
  context: LineContext,
  source: Source,
  { span, estimate }: { span: Span | UnknownEstimate; estimate: Estimate },
): ProvenanceInput {
  const { tag, role, stream } = source;
  const measured = context.setup.tracked.get(tag ?? '')?.unit ?? 'kg/h';
  // Of a totaliser the mean rate over the stretch is told, as of a rate.
  const unit = measured === 'kg' ? 'kg/h' : measured;
  return {
    ...givenInput({ role, stream, unit, takenMs: null }, estimate),
    tag,
    fromMs: span.known ? span.fromMs : null,
    toMs: span.known ? span.toMs : null,
    newestMs: context.frame.latest.get(tag ?? '')?.sourceTimeMs ?? null,
    error: errorOf(context, source),
  };
}
