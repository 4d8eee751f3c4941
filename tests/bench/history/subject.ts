import type { Block } from './plant-data.ts';

export interface BucketQuestion {
  readonly tags: readonly number[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

/** A way to keep readings, as the measurement sees it. */
export interface Subject {
  /** The readings of one hour, each block of another tag; hours ascend for each tag. */
  load(blocks: readonly Block[]): Promise<void>;
  finishLoading(): Promise<void>;
  bytes(): number;
  /** Answers and says how many buckets came. */
  ask(question: BucketQuestion): Promise<number>;
  close(): Promise<void>;
}
