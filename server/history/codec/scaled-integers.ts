import { LARGEST_INTEGER } from './integer-column.ts';

/** 10^0 to 10^12: each is exact as a double, so that dividing by it gives the double nearest to the decimal. */
export const DECIMAL_POWERS: readonly number[] = Array.from({ length: 13 }, (_, decimals) => 10 ** decimals);
const MOST_FLOAT32_DECIMALS = 8;

export interface ScaledIntegers {
  readonly decimals: number;
  /** Values are 32-bit floats: the decimal comes back after rounding to one. */
  readonly isFloat32: boolean;
  readonly numbers: Float64Array;
}

/**
 * The least power of ten at which every value is a whole number and comes back without loss, or null. Sensors
 * round to a decimal, so their values are small whole numbers in disguise; 32-bit sensors blur it, and rounding
 * to 32 bits again clears it.
 */
export function scaledIntegers(values: Float64Array): ScaledIntegers | null {
  const decimals = leastDecimals(values, false);
  if (decimals !== null) return scaled(values, decimals, false);
  const float32Decimals = leastDecimals(values, true);
  return float32Decimals === null ? null : scaled(values, float32Decimals, true);
}

/** What fits few decimals fits more, so the search never turns back; those before the last raise are proved anew. */
function leastDecimals(values: Float64Array, isFloat32: boolean): number | null {
  const most = isFloat32 ? MOST_FLOAT32_DECIMALS : DECIMAL_POWERS.length - 1;
  const fits = isFloat32 ? fitsFloat32 : fitsDouble;
  let decimals = 0;
  let raisedAt = 0;
  for (let i = fits(values, 1, values.length); i < values.length;) {
    if (++decimals > most) return null;
    raisedAt = i;
    const power = DECIMAL_POWERS[decimals] ?? 1;
    i = i + fits(values.subarray(i), power, values.length);
  }
  const power = DECIMAL_POWERS[decimals] ?? 1;
  return fits(values, power, raisedAt) < raisedAt ? null : decimals;
}

/** How many of the first `most` values are decimals of this power of ten. */
function fitsDouble(values: Float64Array, power: number, most: number): number {
  const end = Math.min(most, values.length);
  let i = 0;
  for (; i < end; i++) {
    const value = values[i] ?? 0;
    const number = Math.round(value * power);
    if (number / power !== value || number > LARGEST_INTEGER || number < -LARGEST_INTEGER) break;
    if (number === 0 && Object.is(value, -0)) break;
  }
  return i;
}

/** As `fitsDouble`, for decimals that went through 32 bits. */
function fitsFloat32(values: Float64Array, power: number, most: number): number {
  const end = Math.min(most, values.length);
  let i = 0;
  for (; i < end; i++) {
    const value = values[i] ?? 0;
    const number = Math.round(value * power);
    if (Math.fround(number / power) !== value || number > LARGEST_INTEGER || number < -LARGEST_INTEGER) break;
    if (number === 0 && Object.is(value, -0)) break;
  }
  return i;
}

function scaled(values: Float64Array, decimals: number, isFloat32: boolean): ScaledIntegers {
  const power = DECIMAL_POWERS[decimals] ?? 1;
  const numbers = new Float64Array(values.length);
  // Adding 0 turns the -0 that rounding may give into 0; a stored -0 never comes here.
  for (let i = 0; i < values.length; i++) numbers[i] = Math.round((values[i] ?? 0) * power) + 0;
  return { decimals, isFloat32, numbers };
}
