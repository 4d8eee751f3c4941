const TICKS_WISHED = 4;
const ROUND_STEPS = [1, 2, 2.5, 5, 10];

export interface ValueTicks {
  readonly values: readonly number[];
  readonly step: number;
}

/** Round values between two ends, about four of them. */
export function valueTicks(low: number, high: number): ValueTicks {
  const raw = (high - low) / TICKS_WISHED;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = (ROUND_STEPS.find((round) => round * power >= raw) ?? 10) * power;
  const first = Math.ceil(low / step);
  const last = Math.floor(high / step);
  return {
    values: Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => (first + index) * step),
    step,
  };
}
