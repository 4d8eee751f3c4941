import { CROP_NAMES, type CropName } from '../physics/crops/crop.ts';
import { randomStream } from '../physics/random.ts';
import { wander } from '../physics/wander.ts';

/** How the line works through its days: when it runs, on which crop, and how hard. */
export interface LineDays {
  /** Moves on by one step and says how the line stands in it. */
  next(timeS: number): LineHour;
}

export interface LineHour {
  readonly isOn: boolean;
  readonly crop: CropName;
  /** Feed as a ratio of the crop's set feed. */
  readonly throughput: number;
}

const DAY_S = 86_400;
const HOUR_S = 3600;
const FIRST_HOUR = 6;
const LAST_HOUR = 22;

/** Two shifts a day; a lot of some hours, a stop between lots, a new feed every hour or two, a short stop now and then. */
export function lineDays(seed: number, stepS: number): LineDays {
  const random = randomStream(seed, 'line days');
  const stray = wander({ random, standardDeviation: 0.012, timeConstantS: 45, stepS });
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  let crop: CropName = 'soybean';
  let set = 0.95;
  let [lotEndsS, setEndsS, standsUntilS] = [0, 0, 0];

  const turnPage = (timeS: number): void => {
    if (timeS >= lotEndsS) {
      crop = CROP_NAMES[Math.floor(random.uniform() * CROP_NAMES.length)] ?? 'soybean';
      standsUntilS = timeS + between(600, 2400);
      lotEndsS = timeS + between(3 * HOUR_S, 9 * HOUR_S);
    }
    if (timeS >= setEndsS) {
      set = between(0.7, 1.08);
      setEndsS = timeS + between(0.7 * HOUR_S, 2.5 * HOUR_S);
    }
    if (random.uniform() < stepS / (7 * HOUR_S))
      standsUntilS = Math.max(standsUntilS, timeS + between(240, 1800));
  };

  return {
    next(timeS) {
      turnPage(timeS);
      const hour = (timeS % DAY_S) / HOUR_S;
      const isOn = hour >= FIRST_HOUR && hour < LAST_HOUR && timeS >= standsUntilS;
      return { isOn, crop, throughput: isOn ? set * (1 + stray()) : 0 };
    },
  };
}
