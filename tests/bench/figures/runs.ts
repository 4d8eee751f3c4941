import { CROP_NAMES, type CropName } from '#simulator/physics/crops/crop.ts';
import { randomStream } from '#simulator/physics/random.ts';
import { drawnReadings } from '#tests/support/drawn-readings.ts';
import type { PlantTruth, TruthPlan } from '#tests/support/plant-truth.ts';
import type { LineRun } from './line-run.ts';
import { cachedTruth } from './truth-cache.ts';

export const HOURS_8_S = 8 * 3600;
/** Instruments of draws differ from every plant seed, and from one part of the measurement to the other. */
const DRAWS_FROM = 10_000;

/** The crops take turns. */
function cropOf(index: number): CropName {
  return CROP_NAMES[index % CROP_NAMES.length] ?? 'soybean';
}

/** Eight hours of a warm line at its set feed; the feed strays by a per cent or so, as the simulator lets it. */
function shiftPlan(index: number): TruthPlan {
  return { crop: cropOf(index), seed: 100 + index, seconds: HOURS_8_S, settleS: 1200, feedSteps: [] };
}

/** An empty line that is started, taken up and down by 30 %, and run empty. */
const STEPS_S = 3.25 * 3600;
function stepsPlan(index: number): TruthPlan {
  const minutes = (from: number, to: number, share: number) => ({
    fromS: from * 60,
    toS: to * 60,
    share,
  });
  const feedSteps = [
    minutes(0, 20, -1),
    minutes(70, 100, 0.3),
    minutes(130, 160, -0.3),
    minutes(175, 195, -1),
  ];
  return { crop: cropOf(index), seed: 300 + index, seconds: STEPS_S, settleS: 0, feedSteps };
}

/** A truth with instruments of a draw, or with perfect ones. */
export function runOf(
  truth: PlantTruth,
  draw: number | null,
  part: Partial<LineRun> & { readonly spanStep?: { node: string; fromS: number; share: number } } = {},
): LineRun {
  const { spanStep, fromS = 0, seconds = truth.plan.seconds - fromS, ...rest } = part;
  const readings = drawnReadings(truth, {
    seed: draw === null ? null : DRAWS_FROM + draw,
    fromS,
    toS: fromS + seconds,
    ...(spanStep === undefined ? {} : { spanStep }),
  });
  return { truth, readings, fromS, seconds, tickS: 60, everyS: 2, lotFromS: null, ...rest };
}

export function shiftTruth(index: number): PlantTruth {
  return cachedTruth(shiftPlan(index));
}

export function stepsTruth(index: number): PlantTruth {
  return cachedTruth(stepsPlan(index));
}

export const LAG_S = 7200;

/** Two hours of a warm line whose feed goes to another level of 11 to 26 % three times, for ten minutes at least. */
export function changesPlan(index: number): TruthPlan {
  const random = randomStream(500 + index, 'feed steps');
  let atS = 300;
  const feedSteps = [1, 2, 3].map(() => {
    const fromS = Math.round(atS + 600 + 700 * random.uniform());
    const toS = Math.round(fromS + 600 + 500 * random.uniform());
    atS = toS;
    const share = (0.11 + 0.15 * random.uniform()) * (random.uniform() < 0.5 ? -1 : 1);
    return { fromS, toS, share };
  });
  return { crop: cropOf(index), seed: 500 + index, seconds: LAG_S, settleS: 1200, feedSteps };
}
