/** Time, given to whoever needs it, so that a whole shift can run in seconds in a test. */
export interface Clock {
  /** Milliseconds since 1970 by this machine; may jump when the machine's clock is set. */
  nowMs(): number;
  /** Calls back about every `periodMs`, never twice at once and never sooner; returns the stop. */
  every(periodMs: number, callBack: () => void): () => void;
}
