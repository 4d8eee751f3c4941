import { VIBRATION_LIMITS } from '#server/calc/condition/vibration-zone.ts';
import { handFinding, type HandReading } from '#server/machines/hand-readings.ts';
import { randomStream } from '#simulator/physics/random.ts';
import type { LifeWindow } from './life-points.ts';

/** Somebody who goes round once a week with a hand-held meter, and writes down what it shows. */
export interface HandRound {
  take(window: LifeWindow): void;
  /** When the readings of a machine first say that something has changed; null when they never do. */
  foundMs(machine: string, healthyUntilMs: number): number | null;
  machines(): readonly string[];
}

const WEEK_MS = 7 * 86_400_000;
/** The hand, the spot and the meter together, as a share of the reading. Invented. */
const SCATTER = 0.06;

export function handRound(seed: number): HandRound {
  const random = randomStream(seed, 'hand round');
  const readings = new Map<string, HandReading[]>();
  return {
    take({ timeMs, points }) {
      for (const [machine, { signals }] of points) {
        const own = readings.get(machine) ?? [];
        readings.set(machine, own);
        const velocity = signals.get('vibration');
        const isDue = timeMs - (own.at(-1)?.timeMs ?? -Infinity) >= WEEK_MS;
        if (velocity !== undefined && isDue)
          own.push({ timeMs, mmPerS: velocity * (1 + SCATTER * random.normal()) });
      }
    },
    foundMs(machine, healthyUntilMs) {
      const own = readings.get(machine) ?? [];
      const isHealthy = ({ timeMs }: HandReading) => timeMs <= healthyUntilMs;
      const later = own.filter((reading) => !isHealthy(reading));
      return handFinding(own.filter(isHealthy), later, VIBRATION_LIMITS['class-I'])?.foundMs ?? null;
    },
    machines: () => [...readings.keys()],
  };
}
