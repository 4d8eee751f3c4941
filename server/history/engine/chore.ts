/** Something the store does for itself, a slice at a time. */
export interface Chore {
  /** Works for at most about one slice on what is due; false when nothing is. `isForced`: all is due. */
  step(isForced: boolean): boolean;
  /** Forgets what was under way, after a failed write. */
  abandon(): void;
}

/** A commit waits for a slice at most, so a slice is well below the 50 ms that a commit may wait. */
export const SLICE_MS = 12;
