/**
 * Why a figure has no value. The codes are stored and sent; the reader's words for them live in
 * `contract/format/`. The order is the stored reason number, so codes are only ever appended.
 */
export const UNKNOWN_REASONS = [
  'line-stopped',
  'line-filling',
  'machine-bypassed',
  'not-measured',
  'waiting-for-first-reading',
  'link-down',
  'tag-stale',
  'tag-bad',
  'window-uncovered',
  'inputs-inconsistent',
  'fault',
  'no-lot',
  'no-sample',
  'not-observable',
] as const;

export type UnknownReason = (typeof UNKNOWN_REASONS)[number];
