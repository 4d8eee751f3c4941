import type { Crop } from '../crops/crop.ts';
import type { Population } from '../population.ts';

/** The machines that take something out, in line order. */
export const SEPARATORS = [
  'Scalper',
  'AirScreen',
  'Aspirator',
  'LengthGrader',
  'Sizer',
  'Destoner',
  'GravityTable',
  'Spiral',
  'ColourSorter',
] as const;

export type Separator = (typeof SEPARATORS)[number];

/** How a machine stands at the moment; 1 or 0 as noted is as set and in order. */
export interface Condition {
  /** Feed as a ratio of rated feed. */
  readonly load: number;
  /** Air speed as a ratio of what the setting gives; 1 = in order. */
  readonly air: number;
  /** Strokes or turns as a ratio of what is set; 1 = in order. */
  readonly strokes: number;
  /** Share of the holes that are closed; 0 = clean. */
  readonly blinding: number;
  /** Share of the stream that falls through a tear; 0 = whole. */
  readonly torn: number;
  /** Out of tune (slope, bed, eccentric): 0 = well, 1 = badly. */
  readonly detuned: number;
  /** Water above a normal lot, kg/kg; wet seed flows and sifts badly. */
  readonly extraMoisture: number;
}

export const IN_ORDER: Condition = {
  load: 1,
  air: 1,
  strokes: 1,
  blinding: 0,
  torn: 0,
  detuned: 0,
  extraMoisture: 0,
};

/** The share of one cell that a machine takes out. */
export type TakenShare = (population: Population, cell: number, at: Standing) => number;

export interface Standing {
  readonly crop: Crop;
  readonly condition: Condition;
}

export function forEachSeparator<T>(make: (separator: Separator) => T): Record<Separator, T> {
  return Object.fromEntries(SEPARATORS.map((name) => [name, make(name)])) as Record<Separator, T>;
}

/** Wet seed blurs every cut: three points more water, half as blurred again. From memory, low. */
export function blurOf(condition: Condition): number {
  return 1 + Math.max(0, condition.extraMoisture) * 17 + condition.detuned * 1.5;
}
