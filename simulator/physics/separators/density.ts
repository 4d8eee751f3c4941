import { logisticPartition, overloaded, type Cut } from '../partition.ts';
import type { Population } from '../population.ts';
import { blurOf, type Standing, type TakenShare } from './separator.ts';

const DESTONER_ERROR_KG_PER_M3 = 70;
const TABLE_ERROR_KG_PER_M3 = 17;
/** A bed is never quite even: this much of any seed strays to the light end. */
const TABLE_STRAY = 0.006;
const STANDARD_TILT_DEG = { destoner: 6, table: 3.4 };
const MEAN_SEED_SIZE_PULL = 0.02;

/** What the destoner takes: things too heavy for the air to float, which the deck throws uphill. */
export const stonesShare: TakenShare = (population, i, { crop, condition }) => {
  const steep = 14 * (crop.settings.destonerTiltDeg - STANDARD_TILT_DEG.destoner);
  const at = crop.cuts.destonerKgPerM3 + steep + 500 * (condition.air - 1) - 350 * (condition.strokes - 1);
  const error = DESTONER_ERROR_KG_PER_M3 * blurOf(condition);
  return logisticPartition(
    population.densityKgPerM3[i] ?? 0,
    overloaded({ at, probableError: error }, condition.load),
  );
};

/** What leaves the gravity table at its light end. */
export const lightsShare: TakenShare = (population, i, standing) => {
  const below =
    1 - logisticPartition(floating(population, i), tableCut(standing.crop.cuts.lightsKgPerM3, standing));
  return TABLE_STRAY + (1 - TABLE_STRAY) * below;
};

/** What leaves between the clean and the light end and is fed to the table again, of what the light end has left. */
export const middlingsShare: TakenShare = (population, i, standing) => {
  const { lightsKgPerM3, middlingsKgPerM3 } = standing.crop.cuts;
  const here = floating(population, i);
  const below = (at: number) => 1 - logisticPartition(here, tableCut(at, standing));
  const lights = below(lightsKgPerM3);
  return lights >= 1 ? 0 : Math.max(0, below(middlingsKgPerM3) - lights) / (1 - lights);
};

/** The table works on weight in the air stream: mostly density, a little size. */
function floating(population: Population, i: number): number {
  const plump = (population.sphericity[i] ?? 0) - 0.8;
  return (population.densityKgPerM3[i] ?? 0) * (1 + MEAN_SEED_SIZE_PULL * plump);
}

/**
 * Where the table cuts. More air floats heavier seed down to the light end; a faster deck carries more seed uphill to
 * the clean end; a steeper side tilt lets more of it slide down. Directions: common practice, no source.
 */
function tableCut(at: number, { crop, condition }: Standing): Cut {
  const tilt = 22 * (crop.settings.tableTiltDeg - STANDARD_TILT_DEG.table);
  const moved = at + 260 * (condition.air - 1) - 330 * (condition.strokes - 1) + tilt;
  return overloaded({ at: moved, probableError: TABLE_ERROR_KG_PER_M3 * blurOf(condition) }, condition.load);
}
