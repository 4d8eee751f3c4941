/** Where a power cut would be most awkward; tests cut it there. */
export type CrashPoint =
  | 'journal-written'
  | 'batch-durable'
  | 'block-written'
  | 'slice-durable'
  | 'journal-trimmed'
  | 'trim-durable'
  | 'chunks-merged'
  | 'merge-durable'
  | 'rollup-written'
  | 'rollup-durable'
  | 'checkpoint-done'
  | 'retention-durable';

/** Called at each point; does nothing in service. */
export type Reach = (point: CrashPoint) => void;

export const CRASH_POINTS: readonly CrashPoint[] = [
  'journal-written',
  'batch-durable',
  'block-written',
  'slice-durable',
  'journal-trimmed',
  'trim-durable',
  'chunks-merged',
  'merge-durable',
  'rollup-written',
  'rollup-durable',
  'checkpoint-done',
  'retention-durable',
];
