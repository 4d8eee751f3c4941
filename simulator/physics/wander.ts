import type { RandomStream } from './random.ts';

export interface WanderOptions {
  readonly random: RandomStream;
  readonly standardDeviation: number;
  readonly timeConstantS: number;
  readonly stepS: number;
}

/**
 * A value that strays gently about zero and comes back, as feed rates, compositions and mains voltages do.
 *
 *     x[n+1] = a x[n] + sd sqrt(1 - a^2) normal,   a = exp(-step / time constant)
 *
 * Source   exact discretisation of the Ornstein-Uhlenbeck process; its spread does not depend on the step.
 */
export function wander(options: WanderOptions): () => number {
  const keep = Math.exp(-options.stepS / options.timeConstantS);
  const kick = options.standardDeviation * Math.sqrt(1 - keep * keep);
  let value = options.standardDeviation * options.random.normal();
  return () => {
    value = keep * value + kick * options.random.normal();
    return value;
  };
}
