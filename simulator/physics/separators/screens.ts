import { logisticPartition, lynchRaoPartition, overloaded, withBypass, type Cut } from '../partition.ts';
import type { Population } from '../population.ts';
import { blurOf, type Condition, type TakenShare } from './separator.ts';

/** Sharpness of a screen, mm: long screens and many trials cut sharper than short ones. Invented. */
const SCALPER_ERROR_MM = 0.62;
const TOP_ERROR_RATIO = 0.05;
const SLOT_ERROR_RATIO = 0.075;
const SIZER_ERROR_RATIO = 0.05;
/** Seed that rides over the bed and never meets the holes. */
const AIR_SCREEN_MISSED = 0.3;
const SIZER_MISSED = 0.12;
const AIR_SHARPNESS = 6;

function cut(at: number, errorRatio: number, condition: Condition): Cut {
  return overloaded({ at, probableError: at * errorRatio * blurOf(condition) }, condition.load);
}

/** What goes over the scalper: wide things, and long things that do not find the hole. */
export const oversShare: TakenShare = (population, i, { crop, condition }) => {
  const hole = crop.settings.scalperHoleMm * (1 - 0.35 * condition.blinding);
  const size =
    widthOf(population, i) + 0.12 * Math.max(0, lengthOf(population, i) - 2 * widthOf(population, i));
  const sharp = overloaded({ at: hole, probableError: SCALPER_ERROR_MM * blurOf(condition) }, condition.load);
  return logisticPartition(size, sharp);
};

/** What the air-screen cleaner takes: lifted by the air, over the top screen, or through the bottom screen. */
export const screeningsShare: TakenShare = (population, i, { crop, condition }) => {
  const { settings, cuts } = crop;
  const airCut = cuts.airScreenMPerS * condition.air;
  const lifted = 1 - lynchRaoPartition(population.velocityMPerS[i] ?? 0, airCut, AIR_SHARPNESS);
  const over = logisticPartition(widthOf(population, i), cut(settings.topHoleMm, TOP_ERROR_RATIO, condition));
  const through =
    1 -
    logisticPartition(thicknessOf(population, i), cut(settings.bottomSlotMm, SLOT_ERROR_RATIO, condition));
  const missed = AIR_SCREEN_MISSED + (1 - AIR_SCREEN_MISSED) * condition.blinding;
  const sifted = withBypass(through, missed) + condition.torn;
  return 1 - (1 - lifted) * (1 - over) * (1 - Math.min(1, sifted));
};

/** What the sizer takes: too wide for its holes or too thin for its slots. */
export const offSizeShare: TakenShare = (population, i, { crop, condition }) => {
  const { sizerHoleMm, sizerSlotMm } = crop.settings;
  const wide = logisticPartition(widthOf(population, i), cut(sizerHoleMm, SIZER_ERROR_RATIO, condition));
  const thin =
    1 - logisticPartition(thicknessOf(population, i), cut(sizerSlotMm, SIZER_ERROR_RATIO, condition));
  const sifted = withBypass(thin, SIZER_MISSED + (1 - SIZER_MISSED) * condition.blinding) + condition.torn;
  return 1 - (1 - wide) * (1 - Math.min(1, sifted));
};

function widthOf(population: Population, i: number): number {
  return population.widthMm[i] ?? 0;
}

function thicknessOf(population: Population, i: number): number {
  return population.thicknessMm[i] ?? 0;
}

function lengthOf(population: Population, i: number): number {
  return population.lengthMm[i] ?? 0;
}
