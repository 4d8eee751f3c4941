/** A scripted fault of the plant: which levers are pulled, when, how far and how fast. */
export interface Upset {
  readonly name: string;
  readonly title: string;
  readonly about: string;
  /** Seed of what is unsteady about it. */
  readonly seed: number;
  readonly changes: readonly UpsetChange[];
}

/** One lever pulled once. */
export interface UpsetChange {
  readonly lever: string;
  readonly target: string;
  /** Onset after the upset begins, s. */
  readonly afterS: number;
  /** Time to reach the full size, s. */
  readonly rampS: number;
  readonly size: number;
  /** How unsteady it is, as a share of its size from step to step. */
  readonly flutter: number;
  /** How long it stays from its onset on; absent = until the upset is ended. */
  readonly lastsS: number | undefined;
}
