import type { PlantStep } from '#server/pipeline/step-plant.ts';
import type { Extremes } from './fixed-limits.ts';

/** The first quarter of an hour is left out: rules are not armed yet, and windows fill. */
const FROM_FRAME = 900;

/** Follows one number through a run, and how far it stays beyond a level for the time of a delay. */
export class ExtremeWatch {
  readonly #subject: string;
  readonly #frames: number;
  #recent: number[] = [];
  #high = -Infinity;
  #low = Infinity;
  #count = 0;

  constructor(subject: string, delayS: number) {
    this.#subject = subject;
    this.#frames = delayS + 1;
  }

  take(step: PlantStep): void {
    this.#count += 1;
    const value = valueIn(step, this.#subject);
    if (value === null || this.#count <= FROM_FRAME) return;
    this.#recent.push(value);
    if (this.#recent.length > this.#frames) this.#recent.shift();
    if (this.#recent.length < this.#frames) return;
    this.#high = Math.max(this.#high, Math.min(...this.#recent));
    this.#low = Math.min(this.#low, Math.max(...this.#recent));
  }

  get extremes(): Extremes {
    return { high: this.#high, low: this.#low };
  }
}

/** What a figure or tag says at the end of a step; null where it says nothing. */
export function valueIn(step: PlantStep, subject: string): number | null {
  const figure = step.state.figures.get(subject);
  if (figure !== undefined) return figure.value;
  return step.state.frames.latest.get(subject)?.value ?? null;
}
