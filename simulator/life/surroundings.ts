import { randomStream } from '../physics/random.ts';
import { wander } from '../physics/wander.ts';

/** Air and mains over days: nights and days, spells of weather, the neighbours' load, a tap changed at the transformer. */
export interface Surroundings {
  next(timeS: number): { readonly ambientC: number; readonly mains: number };
}

const DAY_S = 86_400;
const HOUR_S = 3600;
const WARMEST_HOUR = 15;

export function surroundings(seed: number, stepS: number): Surroundings {
  const stray = (purpose: string, standardDeviation: number, timeConstantS: number) =>
    wander({ random: randomStream(seed, purpose), standardDeviation, timeConstantS, stepS });
  const weather = stray('weather', 3.5, 3 * DAY_S);
  const air = stray('ambient', 1.2, 5400);
  const neighbours = stray('neighbours', 0.008, 6 * HOUR_S);
  const flicker = stray('mains', 0.006, 60);
  const tap = randomStream(seed, 'tap');
  let tapRatio = 0;
  let tapUntilS = 0;
  return {
    next(timeS) {
      if (timeS > tapUntilS) {
        // Most of the time it stands in the middle.
        tapRatio = tap.uniform() < 0.7 ? 0 : tap.uniform() < 0.5 ? -0.025 : 0.025;
        tapUntilS = timeS + DAY_S * (1 + 4 * tap.uniform());
      }
      const hour = (timeS % DAY_S) / HOUR_S;
      const day = 5 * Math.cos((2 * Math.PI * (hour - WARMEST_HOUR)) / 24);
      return { ambientC: 20 + day + weather() + air(), mains: 1 + tapRatio + neighbours() + flicker() };
    },
  };
}
