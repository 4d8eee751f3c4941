import { known } from '../calc/figure.ts';
import { allKnown, derived, type Estimate } from './estimate.ts';
import type { Span } from './window-spans.ts';

/**
 * Five equal parts of seed by the time it takes through three mixed vessels in series, from and to in standard deviations
 * about the mean: between the fifths of a gamma distribution of shape 3, the outer two cut where they keep their mean,
 * then scaled to a deviation of 1. Worked out numerically.
 */
const FIFTHS = [-1.457, -0.88, -0.43, 0.063, 0.768, 2.487] as const;

/**
 * The mean rate of a stream for seed that does not all take the same time: some lies longer in beds and boots. Seed that
 * is seen now entered a little earlier and a little later than the mean lag says, and right after a change of the feed
 * that makes most of the difference.
 *
 *     rate = mean over five parts of the rate at their own lag; a window shorter than a part is widened to it
 *
 * Source   tanks-in-series model with three vessels: Levenspiel, Chemical Reaction Engineering, 3rd ed. (1999), ch. 14
 *          (from memory)
 */
export function mixedRate(span: Span, spreadMs: number, rateOver: (span: Span) => Estimate): Estimate {
  const central = rateOver(span);
  if (spreadMs === 0 || !central.known) return central;
  const parts = allKnown(
    partsOf(span, spreadMs).map((part, index) => asPart(rateOver(part), { part, span, index })),
  );
  // What lies further back may not have been read yet: then the mean lag has to do.
  if ('known' in parts) return central;
  const mean = parts.reduce((sum, { value }) => sum + value, 0) / parts.length;
  return derived(
    known(mean),
    parts.map((of) => ({ of, slope: 1 / parts.length })),
  );
}

/** Parts that were widened lie side by side: each has readings, and so a scatter, of its own. */
function asPart(
  rate: Estimate,
  { part, span, index }: { readonly part: Span; readonly span: Span; readonly index: number },
): Estimate {
  const isWidened = part.toMs - part.fromMs > span.toMs - span.fromMs;
  if (!rate.known || rate.causes === null || !isWidened) return rate;
  const causes = rate.causes.map(({ cause, half }) => ({
    cause: cause.startsWith('scatter') ? `${cause} ${index + 1}` : cause,
    half,
  }));
  return { ...rate, causes };
}

function partsOf(span: Span, spreadMs: number): readonly Span[] {
  return FIFTHS.slice(1).map((laterEnd, index) => {
    const laterMs = laterEnd * spreadMs;
    const soonerMs = (FIFTHS[index] ?? 0) * spreadMs;
    const widenMs = Math.max(0, laterMs - soonerMs - (span.toMs - span.fromMs)) / 2;
    const middleMs = (soonerMs + laterMs) / 2;
    return { ...span, fromMs: span.fromMs - middleMs - widenMs, toMs: span.toMs - middleMs + widenMs };
  });
}
