import type { CropName } from './crops/crop.ts';
import { massOf, waterIn, type Parcel } from './parcel.ts';
import type { Population } from './population.ts';
import { livingKg } from './stream-quality.ts';
import {
  enthalpyKjPerKg,
  humidityRatio,
  relativeHumidity,
  temperatureOfEnthalpy,
  wetBulbC,
} from './psychrometrics.ts';
import { equilibriumMoisture, heatDeathPerS } from './seed-moisture.ts';

export interface Dryer {
  /** Drying air going in, °C. */
  airC: number;
  /** Air going out. */
  outC: number;
  outHumidity: number;
  seedC: number;
  /** Moisture of the seed going out, kg water per kg wet. */
  moistureOut: number;
}

export interface DryerStep {
  readonly crop: CropName;
  readonly stepS: number;
  /** Air flow as a ratio of design. */
  readonly airFlow: number;
  readonly airSetC: number;
  readonly ambientC: number;
  readonly ambientHumidity: number;
}

const AIR_KG_PER_S = 8;
const BURNER_TIME_S = 90;
const RESIDENCE_S = 95;
/** Time constants of the surface drying off at design air and of the seed itself giving water, s. */
const SURFACE_TIME_S = 36;
const KERNEL_TIME_S = 9000;
const SEED_WARMING_S = 45;
const SURFACE_TIME_AT_DEFICIT = 0.0065;

export function warmDryer(airC: number): Dryer {
  return { airC, outC: airC - 3, outHumidity: 0.35, seedC: airC - 6, moistureOut: 0.125 };
}

/** Dries what leaves the dryer in this step; returns the water taken up by the air, kg. */
export function stepDryer(
  dryer: Dryer,
  population: Population,
  { parcel, step }: { parcel: Parcel; step: DryerStep },
): number {
  dryer.airC += (airTarget(step) - dryer.airC) * (1 - Math.exp(-step.stepS / BURNER_TIME_S));
  const ratioIn = humidityRatio(step.ambientC, step.ambientHumidity);
  const bulbC = wetBulbC(dryer.airC, ratioIn);
  const deficit = Math.max(0, humidityRatio(bulbC, 1) - ratioIn);
  const airKg = Math.max(0.02, step.airFlow) * AIR_KG_PER_S * step.stepS;
  const waterKg = dryOff(population, parcel, {
    step,
    deficit,
    airC: dryer.airC,
    capacityKg: airKg * deficit * 0.95,
  });
  const ratioOut = ratioIn + waterKg / airKg;
  const wetness = Math.min(1, waterKg / Math.max(1e-9, airKg * deficit));
  warmSeed(dryer, step.stepS, bulbC + (dryer.airC - bulbC) * (1 - wetness));
  killByHeat(population, parcel, dryer.seedC);
  dryer.outC = temperatureOfEnthalpy(enthalpyKjPerKg(dryer.airC, ratioIn), ratioOut);
  dryer.outHumidity = Math.min(1, relativeHumidity(dryer.outC, ratioOut));
  const massKg = massOf(population.layout, parcel);
  if (massKg > 1e-6) dryer.moistureOut = waterIn(population.layout, parcel) / massKg;
  return waterKg;
}

/** Without air the burner is off. */
function airTarget(step: DryerStep): number {
  return step.airFlow < 0.3 ? step.ambientC : step.airSetC;
}

interface Drying {
  readonly step: DryerStep;
  readonly deficit: number;
  readonly airC: number;
  readonly capacityKg: number;
}

/** Surface water goes fast, in step with what the air can still take; the seed itself strives for its equilibrium. */
function dryOff({ layout }: Population, parcel: Parcel, { step, deficit, airC, capacityKg }: Drying): number {
  const pull = (step.airFlow * deficit) / SURFACE_TIME_AT_DEFICIT;
  const surfaceShare = 1 - Math.exp((-RESIDENCE_S * pull) / SURFACE_TIME_S);
  const surface = parcel[layout.surfaceWaterAt] ?? 0;
  const surfaceKg = Math.min(surface * surfaceShare, capacityKg);
  parcel[layout.surfaceWaterAt] = surface - surfaceKg;
  const humidity = relativeHumidity(airC, humidityRatio(step.ambientC, step.ambientHumidity));
  const equilibrium = equilibriumMoisture(step.crop, airC, humidity);
  const kernelShare = step.airFlow < 0.05 ? 0 : 1 - Math.exp(-RESIDENCE_S / KERNEL_TIME_S);
  let kernelKg = 0;
  for (let c = 0; c < layout.components; c += 1) {
    let dry = 0;
    for (let i = layout.cellStarts[c] ?? 0; i < (layout.cellStarts[c + 1] ?? 0); i += 1)
      dry += parcel[i] ?? 0;
    const water = parcel[layout.waterAt + c] ?? 0;
    const lost = Math.max(0, water - (dry * equilibrium) / (1 - equilibrium)) * kernelShare;
    parcel[layout.waterAt + c] = water - lost;
    kernelKg += lost;
  }
  return surfaceKg + kernelKg;
}

function warmSeed(dryer: Dryer, stepS: number, towardsC: number): void {
  const reached = 1 - Math.exp(-RESIDENCE_S / SEED_WARMING_S);
  const leavingC = SEED_IN_C + (towardsC - SEED_IN_C) * reached;
  dryer.seedC += (leavingC - dryer.seedC) * (1 - Math.exp(-stepS / SEED_WARMING_S));
}

const SEED_IN_C = 21;

/** Heat takes the life of some seed; the parcel carries how much, so that later streams know. */
function killByHeat(population: Population, parcel: Parcel, seedC: number): void {
  const { killedAt } = population.layout;
  const living = livingKg(population, parcel);
  const killed = living * (1 - Math.exp(-heatDeathPerS(seedC) * RESIDENCE_S));
  parcel[killedAt] = (parcel[killedAt] ?? 0) + killed;
}
