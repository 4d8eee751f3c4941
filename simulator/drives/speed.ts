/** How a drive's speed followed its contactor during one step. */
export interface SpeedStep {
  /** Speed at the end of the step, 1 = full. */
  readonly speed: number;
  /** Mean speed over the step: how far the machine moved its seed. */
  readonly mean: number;
}

export interface SpeedOptions {
  readonly speed: number;
  readonly wasOn: boolean;
  /** Instants within the step at which the contactor switched, s from its beginning. */
  readonly switchingsS: readonly number[];
  readonly stepS: number;
  readonly runUpS: number;
  readonly coastS: number;
}

/**
 * Runs up and coasts down as a first-order lag, exactly, whatever instants the contactor switched at.
 *
 *     speed' = (target - speed) / time constant,   target 1 or 0
 *
 * A run-up that has come within a thousandth counts as full speed.
 */
export function speedAfter(options: SpeedOptions): SpeedStep {
  if (options.switchingsS.length === 0 && options.wasOn && options.speed >= 1) return FULL;
  if (options.switchingsS.length === 0 && !options.wasOn && options.speed <= 0) return STILL;
  let { speed } = options;
  let isOn = options.wasOn;
  let travelled = 0;
  let from = 0;
  for (const to of [...options.switchingsS, options.stepS]) {
    const target = isOn ? 1 : 0;
    const tau = isOn ? options.runUpS : options.coastS;
    const gone = 1 - Math.exp(-(to - from) / tau);
    travelled += target * (to - from) + (speed - target) * tau * gone;
    speed += (target - speed) * gone;
    isOn = !isOn;
    from = to;
  }
  return { speed: settled(speed), mean: Math.min(1, travelled / options.stepS) };
}

function settled(speed: number): number {
  if (speed > 0.999) return 1;
  return speed < 0.001 ? 0 : speed;
}

const FULL: SpeedStep = { speed: 1, mean: 1 };
const STILL: SpeedStep = { speed: 0, mean: 0 };
