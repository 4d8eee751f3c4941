export interface Falling {
  readonly massKg: number;
  readonly areaM2: number;
  readonly dragCoefficient: number;
  readonly airKgPerM3: number;
}

const GRAVITY_M_PER_S2 = 9.80665;
/** Air at 20 °C and sea level, rounded as the handbook's checks use it. */
export const AIR_KG_PER_M3 = 1.2;

/**
 * The air speed that just carries a seed.
 *
 *     v = sqrt(2 m g / (rho_air A Cd))
 *
 * Units    kg, m2, 1, kg/m3 -> m/s
 * Source   handbook 10.5; checks S4 (wheat kernel) and S5 (soybean)
 *
 * @example 29.6 mg, A = pi/4 * 7.08 * 3.27 mm2, Cd 0.85, air 1.2 kg/m3: 5.595 m/s
 */
export function terminalVelocity(seed: Falling): number {
  return Math.sqrt(
    (2 * seed.massKg * GRAVITY_M_PER_S2) / (seed.airKgPerM3 * seed.areaM2 * seed.dragCoefficient),
  );
}
