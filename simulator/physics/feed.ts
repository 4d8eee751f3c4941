import type { Levers } from '../upsets/levers.ts';
import { COMPONENTS } from './lot.ts';
import type { Parcel, ParcelLayout } from './parcel.ts';
import { randomStream } from './random.ts';
import { wander } from './wander.ts';

export interface FeedOptions {
  readonly layout: ParcelLayout;
  readonly seed: number;
  readonly stepS: number;
  readonly setKgPerH: number;
  /** Share of the lot's dry matter in each component; sums to 1. */
  readonly composition: readonly number[];
  /** Share of a component's dry matter in each of its cells; sums to 1 over each component. */
  readonly cellWeights: Float64Array;
  /** Moisture of each component, kg water per kg wet. */
  readonly moisture: readonly number[];
  readonly levers: Levers;
}

export interface Feed {
  /** Puts what the gate lets through in one step into `parcel`; `run` is how much of it the feeder ran. */
  draw(parcel: Parcel, run: number): void;
  /** Moisture of the whole lot as it comes now, kg water per kg wet. */
  moisture(): number;
  gatePercent(): number;
}

const GATE_PERCENT_AT_SET = 62;
const TRASH: readonly string[] = ['chaff', 'dust', 'weed', 'otherCrop', 'clod', 'split'];

/** The lot as it falls out of the intake hopper: rate, mixture and moisture stray gently about their means. */
export function feed(options: FeedOptions): Feed {
  const { layout, stepS, levers } = options;
  const strayOf = (purpose: string, standardDeviation: number, timeConstantS: number) =>
    wander({ random: randomStream(options.seed, purpose), standardDeviation, timeConstantS, stepS });
  const rateStray = strayOf('feed rate', 0.012, 45);
  const mixtureStrays = COMPONENTS.map((name) => strayOf(`mixture ${name}`, 0.07, 240));
  const moistureStray = strayOf('lot moisture', 0.0012, 900);
  const surge = levers.of('feed-surge');
  const trash = levers.of('trashy-lot');
  const wet = levers.of('wet-lot');
  const shares = new Float64Array(COMPONENTS.length);
  let lotMoisture = options.moisture[0] ?? 0;

  return {
    draw(parcel, run) {
      const rate = (options.setKgPerH / 3600) * (1 + rateStray()) * (1 + surge.value);
      const moistureShift = moistureStray() + wet.value;
      let all = 0;
      COMPONENTS.forEach((name, c) => {
        const more = TRASH.includes(name) ? 1 + trash.value : 1;
        const stray = Math.max(0, 1 + (mixtureStrays[c]?.() ?? 0));
        shares[c] = (options.composition[c] ?? 0) * stray * more;
        all += shares[c] ?? 0;
      });
      const wetKg = rate * stepS * run;
      lotMoisture = fill(parcel, { wetKg, all, moistureShift });
    },
    moisture: () => lotMoisture,
    gatePercent: () => GATE_PERCENT_AT_SET * (1 + surge.value),
  };

  function fill(
    parcel: Parcel,
    { wetKg, all, moistureShift }: { wetKg: number; all: number; moistureShift: number },
  ): number {
    parcel.fill(0);
    let wetPerDry = 0;
    for (let c = 0; c < layout.components; c += 1) {
      wetPerDry += (shares[c] ?? 0) / all / (1 - moistureOf(c, moistureShift));
    }
    const dryKg = wetKg / wetPerDry;
    for (let c = 0; c < layout.components; c += 1) {
      const componentKg = (dryKg * (shares[c] ?? 0)) / all;
      const end = layout.cellStarts[c + 1] ?? 0;
      for (let i = layout.cellStarts[c] ?? 0; i < end; i += 1) {
        parcel[i] = componentKg * (options.cellWeights[i] ?? 0);
      }
      const moisture = moistureOf(c, moistureShift);
      parcel[layout.waterAt + c] = (componentKg * moisture) / (1 - moisture);
    }
    return 1 - 1 / wetPerDry;
  }

  /** Stones hold no water, however wet the lot. */
  function moistureOf(component: number, shift: number): number {
    const own = options.moisture[component] ?? 0;
    return own <= 0 ? 0 : Math.min(0.45, Math.max(0.02, own + shift));
  }
}
