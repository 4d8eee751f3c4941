import { HOUR_MS, MINUTE_MS, type RollupWidthMs } from './blocks.ts';

export interface BucketPlan {
  /** Start of each bucket and the end of the last. */
  readonly edges: Float64Array;
  /** Width of the rollup whose edges these are; null for buckets too short for one. */
  readonly rollupMs: RollupWidthMs | null;
}

/**
 * Where the buckets of a thinned answer lie. Buckets of a minute or more consist of whole minutes, of an hour or
 * more of whole hours, so that rollups answer for them exactly; shorter ones divide the range evenly.
 */
export function bucketEdges(fromMs: number, toMs: number, most: number): BucketPlan {
  const widthMs = (toMs - fromMs) / most;
  if (widthMs < MINUTE_MS) return { edges: evenEdges(fromMs, toMs, most), rollupMs: null };
  const rollupMs = widthMs < HOUR_MS ? MINUTE_MS : HOUR_MS;
  const startMs = Math.floor(fromMs / rollupMs) * rollupMs;
  // The snapped start is earlier, so the last bucket may begin after `toMs` unless the width allows for it.
  let bucketMs = Math.ceil(widthMs / rollupMs) * rollupMs;
  if (Math.ceil((toMs - startMs) / bucketMs) > most) bucketMs += rollupMs;
  const length = Math.ceil((toMs - startMs) / bucketMs);
  return { edges: Float64Array.from({ length: length + 1 }, (_, i) => startMs + i * bucketMs), rollupMs };
}

/** Whole milliseconds; fewer buckets when the range has fewer milliseconds than asked for. */
function evenEdges(fromMs: number, toMs: number, most: number): Float64Array {
  const start = Math.floor(fromMs);
  const end = Math.max(Math.ceil(toMs), start + 1);
  const length = Math.min(most, end - start);
  return Float64Array.from(
    { length: length + 1 },
    (_, i) => start + Math.round((i * (end - start)) / length),
  );
}
