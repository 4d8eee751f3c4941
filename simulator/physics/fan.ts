/** How a fan and its duct stand: speed and resistance as ratios of design. */
export interface FanStanding {
  readonly speed: number;
  /** 1 = as designed; a closing gate or a loading filter raises it. */
  readonly resistance: number;
}

export interface FanPoint {
  /** Volume flow, total pressure and shaft power as ratios of design. */
  readonly flow: number;
  readonly pressure: number;
  readonly power: number;
}

/**
 * Where a fan settles on its duct, as ratios of its design point.
 *
 *     fan curve   p = N^2 (1.25 - 0.25 (q/N)^2)
 *     duct        p = r q^2
 *     together    q = N sqrt(1.25 / (r + 0.25)),   P = N^3 (0.35 + 0.65 q/N)
 *
 * Source   fan laws (handbook 7.3): at constant resistance q goes with N, p with N^2, P with N^3; the curve's shape is
 *          invented, as is plausible for a backward-bladed fan. Checks C5 to C7.
 */
export function fanPoint({ speed, resistance }: FanStanding): FanPoint {
  const perTurn = Math.sqrt(1.25 / (resistance + 0.25));
  const flow = speed * perTurn;
  return {
    flow,
    pressure: resistance * flow * flow,
    power: speed ** 3 * (0.35 + 0.65 * perTurn),
  };
}

/**
 * Resistance of a duct with a gate, as a ratio of design.
 *
 *     r = filters + (1 - filters) (opening0 / opening)^2
 *
 * Source   pressure drop goes with the square of the speed in the gap; a third of the drop is not in the gate (invented)
 */
export function ductResistance(
  gate: { readonly percent: number; readonly setPercent: number },
  loading: number,
): number {
  const opening = Math.max(2, gate.percent) / gate.setPercent;
  return NOT_IN_GATE * (1 + loading * 4) + (1 - NOT_IN_GATE) / (opening * opening);
}

const NOT_IN_GATE = 0.33;
