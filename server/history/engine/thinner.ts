import type { SeriesId, ThinnedColumns } from '../../ports/sample-store.ts';
import type { Entries } from '../entries.ts';
import { firstAtOrAfter, type Samples } from '../samples.ts';
import { Buckets } from './buckets.ts';
import type { SegmentRule } from './segment-rule.ts';

/**
 * Fills buckets from samples or rollup entries that come in ascending time. Between two samples the value runs
 * by the rule of the first of them: held (step), or straight to the next (linear); in either case no longer
 * than `heldMs`, not beyond a sample without a value, and not beyond the end of the definition.
 */
export interface Thinner {
  addSamples(samples: Samples): void;
  /** Those that start in `[fromMs, toMs)`. */
  addEntries(entries: Entries, part: { readonly fromMs: number; readonly toMs: number }): void;
  /** After the last: the value is held to the end of the buckets, as far as its rule lets it. */
  finish(): ThinnedColumns;
}

/** `edges`: start of each bucket and the end of the last, ascending. */
export function newThinner(series: SeriesId, edges: Float64Array, rules: readonly SegmentRule[]): Thinner {
  const buckets = new Buckets(edges, rules);
  return {
    addSamples(samples) {
      for (let i = 0; i < samples.timeMs.length;) {
        buckets.addSample(samples, i);
        i = buckets.addWithinBucket(samples, i + 1);
      }
    },
    addEntries(entries, { fromMs, toMs }) {
      const end = firstAtOrAfter(entries.startMs, toMs);
      for (let i = firstAtOrAfter(entries.startMs, fromMs); i < end;) {
        buckets.addEntry(entries, i);
        i = buckets.addEntriesWithinBucket(entries, i + 1, end);
      }
    },
    finish: () => buckets.finished(series),
  };
}
