/**
 * Moist air at a pressure of 101,325 Pa unless told otherwise.
 *
 * Source   ASHRAE Handbook - Fundamentals 2017, chapter 1 (equations 5, 6, 20, 28, 30, 33, 35); handbook 4.3
 */
export const STANDARD_PRESSURE_PA = 101_325;

/** Humidity ratio of dry air to water vapour molar masses. */
const MASS_RATIO = 0.621945;

/**
 * Pressure at which water vapour is saturated, Pa.
 *
 * Source   Hyland and Wexler, equation 5 over ice and 6 over water; checks P1
 */
export function saturationPressurePa(celsius: number): number {
  const t = celsius + 273.15;
  const c = celsius < 0.01 ? OVER_ICE : OVER_WATER;
  return Math.exp(
    c[0] / t + c[1] + c[2] * t + c[3] * t ** 2 + c[4] * t ** 3 + c[5] * t ** 4 + c[6] * Math.log(t),
  );
}

type Coefficients = readonly [number, number, number, number, number, number, number];

const OVER_ICE: Coefficients = [
  -5674.5359, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019,
];
const OVER_WATER: Coefficients = [
  -5800.2206, 1.3914993, -0.048640239, 4.1764768e-5, -1.4452093e-8, 0, 6.5459673,
];

/** Kilograms of water a kilogram of dry air carries. W = 0.621945 p / (P - p). */
export function humidityRatio(
  celsius: number,
  relativeHumidity: number,
  pressurePa = STANDARD_PRESSURE_PA,
): number {
  const vapour = relativeHumidity * saturationPressurePa(celsius);
  return (MASS_RATIO * vapour) / (pressurePa - vapour);
}

/** Relative humidity, 0 to 1 (above 1: the air could not carry it). */
export function relativeHumidity(celsius: number, ratio: number, pressurePa = STANDARD_PRESSURE_PA): number {
  return (pressurePa * ratio) / (MASS_RATIO + ratio) / saturationPressurePa(celsius);
}

/** Enthalpy of moist air, kJ a kg dry air. h = 1.006 T + W (2501 + 1.86 T). */
export function enthalpyKjPerKg(celsius: number, ratio: number): number {
  return 1.006 * celsius + ratio * (2501 + 1.86 * celsius);
}

/** Temperature of air of known enthalpy and humidity ratio, °C. */
export function temperatureOfEnthalpy(kjPerKg: number, ratio: number): number {
  return (kjPerKg - 2501 * ratio) / (1.006 + 1.86 * ratio);
}

/**
 * Temperature at which water evaporating into the air saturates it, °C.
 *
 *     W = ((2501 - 2.326 t) Ws(t) - 1.006 (T - t)) / (2501 + 1.86 T - 4.186 t),   solved for t by halving
 *
 * Source   equation 33 above freezing, 35 below; checks P7, P10, P11, P13
 */
export function wetBulbC(celsius: number, ratio: number, pressurePa = STANDARD_PRESSURE_PA): number {
  let low = -60;
  let high = celsius;
  for (let i = 0; i < 40; i += 1) {
    const middle = (low + high) / 2;
    if (ratioAtWetBulb(celsius, middle, pressurePa) > ratio) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

export function ratioAtWetBulb(celsius: number, wetBulb: number, pressurePa = STANDARD_PRESSURE_PA): number {
  const saturated = humidityRatio(wetBulb, 1, pressurePa);
  return wetBulb >= 0
    ? ((2501 - 2.326 * wetBulb) * saturated - 1.006 * (celsius - wetBulb)) /
        (2501 + 1.86 * celsius - 4.186 * wetBulb)
    : ((2830 - 0.24 * wetBulb) * saturated - 1.006 * (celsius - wetBulb)) /
        (2830 + 1.86 * celsius - 2.1 * wetBulb);
}

/** Volume of moist air, m3 a kg dry air. v = 0.287042 (T + 273.15) (1 + 1.607858 W) / P[kPa]. */
export function specificVolumeM3PerKg(
  celsius: number,
  ratio: number,
  pressurePa = STANDARD_PRESSURE_PA,
): number {
  return (0.287042 * (celsius + 273.15) * (1 + 1.607858 * ratio)) / (pressurePa / 1000);
}
