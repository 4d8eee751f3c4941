import { known } from '../calc/figure.ts';
import { goodSeedLost } from '../calc/separation/good-seed-lost.ts';
import { worthOfGoodSeedLost } from '../calc/separation/worth-of-good-seed-lost.ts';
import { kilogramsPerHour, moneyPerKilogram, MS_PER_HOUR, ratio } from '../calc/units.ts';
import type { HandSample } from '../contract/records.ts';
import { derived, exactEstimate, unknownEstimate, type Estimate } from './estimate.ts';
import { latestSample } from './hand-catch.ts';
import { isBypassed, type LineContext } from './line-context.ts';
import type { RejectOutlet } from './line-layout.ts';
import { lengthOf, rejectOf, type Work } from './seen-amounts.ts';
import { givenInput } from './given-input.ts';

/** Result of a hand sample: the share of good seed in it, 0 to 1. */
const GOOD_SHARE = 'good-seed';
/** After a shift, settings and seed are others. */
const FRESH_FOR_MS = 8 * MS_PER_HOUR;

/** Good seed that one reject carries away, kg/h: its rate and the share of good seed in the latest hand sample. */
export function goodSeedLostFigure(outlet: RejectOutlet): Work {
  return (context) => goodSeedLostIn(context, outlet);
}

/** The same in money an hour, net of what the reject still brings. */
export function worthFigure(outlet: RejectOutlet): Work {
  return (context) => {
    const prices = context.prices;
    const lost = goodSeedLostIn(context, outlet);
    if (prices === null) return unknownEstimate('not-measured');
    if (!lost.known) return lost;
    const slope = prices.seedPerKg - prices.salvagePerKg;
    const worth = worthOfGoodSeedLost(kilogramsPerHour(lost.value), {
      seed: moneyPerKilogram(prices.seedPerKg),
      salvage: moneyPerKilogram(prices.salvagePerKg),
    });
    return derived(known(worth), [{ of: lost, slope }]);
  };
}

function goodSeedLostIn(context: LineContext, outlet: RejectOutlet): Estimate {
  if (isBypassed(context, outlet.machine.id)) return unknownEstimate('machine-bypassed');
  const sample = latestSample(context, outlet.stream.id, (results) => goodShareOf(results) !== null);
  const share = shareOf(context, sample);
  const named = {
    role: 'sample',
    stream: outlet.stream.id,
    unit: '1',
    takenMs: sample?.takenMs ?? null,
  } as const;
  context.trace?.(givenInput(named, share));
  const mass = rejectOf(context, outlet, { window: 'ten-minutes', seenAt: outlet.place });
  if (!mass.known || !share.known) return mass.known ? share : mass;
  const perHour = MS_PER_HOUR / lengthOf(context, 'ten-minutes');
  const lost = goodSeedLost(kilogramsPerHour(mass.value * perHour), ratio(share.value));
  return derived(known(lost), [
    { of: mass, slope: perHour * share.value },
    { of: share, slope: perHour * mass.value },
  ]);
}

/** A sample of another lot, or of an earlier shift, says little about now. How well it was divided nobody states. */
function shareOf({ lot, frame }: LineContext, sample: HandSample | null): Estimate {
  const value = sample === null ? null : goodShareOf(sample.results);
  if (sample === null || value === null) return unknownEstimate('no-sample');
  const isFresh = frame.endMs - sample.takenMs <= FRESH_FOR_MS;
  const isOfThisLot = lot === null || sample.takenMs >= lot.startedMs;
  return { ...exactEstimate(value), quality: isFresh && isOfThisLot ? 'good' : 'uncertain', causes: null };
}

function goodShareOf(results: HandSample['results']): number | null {
  const result = results[GOOD_SHARE];
  if (result?.unit !== '1' || !(result.value >= 0 && result.value <= 1)) return null;
  return result.value;
}
