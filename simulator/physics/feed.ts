import type { Levers } from '../upsets/levers.ts';
import { COMPONENTS, type Crop } from './crops/crop.ts';
import type { Parcel } from './parcel.ts';
import type { Population } from './population.ts';
import { randomStream } from './random.ts';
import { wander } from './wander.ts';

export interface FeedOptions {
  readonly crop: Crop;
  readonly population: Population;
  readonly seed: number;
  readonly stepS: number;
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
  const { stepS, levers } = options;
  const strayOf = (purpose: string, standardDeviation: number, timeConstantS: number) =>
    wander({ random: randomStream(options.seed, purpose), standardDeviation, timeConstantS, stepS });
  const rateStray = strayOf('feed rate', 0.012, 45);
  const mixtureStrays = COMPONENTS.map((name) => strayOf(`mixture ${name}`, 0.05, 240));
  const moistureStray = strayOf('lot moisture', 0.0012, 900);
  const mixture: Mixture = {
    shares: new Float64Array(COMPONENTS.length),
    all: 0,
    moistureShift: 0,
    wetKg: 0,
  };
  let lotMoisture = options.crop.components.good.moisture;

  return {
    draw(parcel, run) {
      const kgPerS = (options.crop.settings.feedKgPerH / 3600) * (1 + rateStray());
      mixture.wetKg = kgPerS * (1 + levers.size('feed-surge')) * stepS * run;
      mixture.moistureShift = moistureStray() + levers.size('wet-lot');
      mix(mixture, options, mixtureStrays);
      lotMoisture = fill(parcel, mixture, options);
    },
    moisture: () => lotMoisture,
    gatePercent: () => GATE_PERCENT_AT_SET * (1 + levers.size('feed-surge')),
  };
}

interface Mixture {
  /** Dry matter of each component before they are made to sum to 1, and their sum. */
  readonly shares: Float64Array;
  all: number;
  moistureShift: number;
  wetKg: number;
}

function mix(mixture: Mixture, { crop, levers }: FeedOptions, strays: readonly (() => number)[]): void {
  const trash = 1 + levers.size('trashy-lot');
  mixture.all = 0;
  COMPONENTS.forEach((name, c) => {
    const stray = Math.max(0, 1 + (strays[c]?.() ?? 0));
    mixture.shares[c] = crop.components[name].share * stray * (TRASH.includes(name) ? trash : 1);
    mixture.all += mixture.shares[c] ?? 0;
  });
}

/** Puts the mixture into the parcel; returns the moisture of the whole. */
function fill(parcel: Parcel, mixture: Mixture, { crop, population }: FeedOptions): number {
  const { layout, weight } = population;
  parcel.fill(0);
  const moistures = COMPONENTS.map((name) =>
    moistureOf(crop.components[name].moisture, mixture.moistureShift),
  );
  let wetPerDry = 0;
  moistures.forEach((moisture, c) => {
    wetPerDry += (mixture.shares[c] ?? 0) / mixture.all / (1 - moisture);
  });
  const dryKg = mixture.wetKg / wetPerDry;
  moistures.forEach((moisture, c) => {
    const componentKg = (dryKg * (mixture.shares[c] ?? 0)) / mixture.all;
    const end = layout.cellStarts[c + 1] ?? 0;
    for (let i = layout.cellStarts[c] ?? 0; i < end; i += 1) parcel[i] = componentKg * (weight[i] ?? 0);
    parcel[layout.waterAt + c] = (componentKg * moisture) / (1 - moisture);
  });
  return 1 - 1 / wetPerDry;
}

/** Stones hold no water, however wet the lot. */
function moistureOf(own: number, shift: number): number {
  return own <= 0 ? 0 : Math.min(0.45, Math.max(0.02, own + shift));
}
