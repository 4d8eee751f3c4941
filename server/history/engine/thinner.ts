import type { SeriesId, ThinnedColumns } from '../../ports/sample-store.ts';
import { firstAtOrAfter, type Samples } from '../samples.ts';
import type { Entries } from '../entries.ts';
import { knownValue } from './known-value.ts';
import { ruleAt, type SegmentRule } from './segment-rule.ts';

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
      const { timeMs } = samples;
      for (let i = 0; i < timeMs.length; i++) buckets.addSample(timeMs[i] ?? 0, knownValue(samples, i));
    },
    addEntries(entries, { fromMs, toMs }) {
      const end = firstAtOrAfter(entries.startMs, toMs);
      for (let i = firstAtOrAfter(entries.startMs, fromMs); i < end; i++) buckets.addEntry(entries, i);
    },
    finish: () => buckets.finished(series),
  };
}

/** A class for speed: every reading of a long answer goes through `addSample`. */
class Buckets {
  private readonly edges: Float64Array;
  private readonly rules: readonly SegmentRule[];
  private readonly length: number;
  private readonly first: Float64Array;
  private readonly last: Float64Array;
  private readonly min: Float64Array;
  private readonly max: Float64Array;
  private readonly count: Uint32Array;
  private readonly integral: Float64Array;
  private readonly coveredMs: Float64Array;
  private rule: SegmentRule;
  /** Bucket of the latest sample, or of the one after it. */
  private at = 0;
  private beforeMs = NaN;
  private beforeValue = NaN;

  constructor(edges: Float64Array, rules: readonly SegmentRule[]) {
    this.edges = edges;
    this.rules = rules;
    this.length = edges.length - 1;
    const column = (): Float64Array => new Float64Array(this.length).fill(NaN);
    this.first = column();
    this.last = column();
    this.min = column();
    this.max = column();
    this.count = new Uint32Array(this.length);
    this.integral = new Float64Array(this.length);
    this.coveredMs = new Float64Array(this.length);
    this.rule = ruleAt(rules, -Infinity);
  }

  /** `value` is NaN where the sample says that the value is unknown from there on. */
  addSample(timeMs: number, value: number): void {
    if (this.beforeValue === this.beforeValue) this.runTo(timeMs, value);
    this.beforeMs = timeMs;
    this.beforeValue = value;
    if (value !== value || !this.moveTo(timeMs)) return;
    const { at } = this;
    if (this.count[at] === 0) {
      this.first[at] = value;
      this.min[at] = value;
      this.max[at] = value;
    } else {
      if (value < (this.min[at] ?? 0)) this.min[at] = value;
      if (value > (this.max[at] ?? 0)) this.max[at] = value;
    }
    this.last[at] = value;
    this.count[at] = (this.count[at] ?? 0) + 1;
  }

  addEntry(entries: Entries, i: number): void {
    if (this.beforeValue === this.beforeValue)
      this.runTo(entries.firstTimeMs[i] ?? 0, entries.firstValue[i] ?? NaN);
    this.beforeMs = entries.lastTimeMs[i] ?? 0;
    this.beforeValue = entries.lastValue[i] ?? NaN;
    if (!this.moveTo(entries.startMs[i] ?? 0)) return;
    const { at } = this;
    this.integral[at] = (this.integral[at] ?? 0) + (entries.integral[i] ?? 0);
    this.coveredMs[at] = (this.coveredMs[at] ?? 0) + (entries.coveredMs[i] ?? 0);
    const count = entries.count[i] ?? 0;
    if (count === 0) return;
    const isFirst = this.count[at] === 0;
    if (isFirst) this.first[at] = entries.firstKnown[i] ?? NaN;
    this.min[at] = Math.min(isFirst ? Infinity : (this.min[at] ?? NaN), entries.min[i] ?? NaN);
    this.max[at] = Math.max(isFirst ? -Infinity : (this.max[at] ?? NaN), entries.max[i] ?? NaN);
    this.last[at] = entries.lastKnown[i] ?? NaN;
    this.count[at] = (this.count[at] ?? 0) + count;
  }

  finished(series: SeriesId): ThinnedColumns {
    if (!Number.isNaN(this.beforeValue)) this.runTo(Infinity, NaN);
    const mean = new Float64Array(this.length);
    const coveredRatio = new Float64Array(this.length);
    for (let i = 0; i < this.length; i++) {
      const covered = this.coveredMs[i] ?? 0;
      const width = (this.edges[i + 1] ?? 0) - (this.edges[i] ?? 0);
      mean[i] = covered > 0 ? (this.integral[i] ?? 0) / covered : NaN;
      coveredRatio[i] = Math.min(1, covered / width);
    }
    const { first, last, min, max, count } = this;
    const timeMs = this.edges.slice(0, this.length);
    return {
      series,
      endMs: this.edges[this.length] ?? 0,
      timeMs,
      first,
      last,
      min,
      max,
      mean,
      count,
      coveredRatio,
    };
  }

  /** Moves to the bucket of a time; false when it lies in none. */
  private moveTo(timeMs: number): boolean {
    const { edges, length } = this;
    if (timeMs < (edges[0] ?? 0) || timeMs >= (edges[length] ?? 0)) return false;
    let { at } = this;
    while (timeMs >= (edges[at + 1] ?? Infinity)) at++;
    this.at = at;
    return true;
  }

  /** The known value before runs to this sample, or as far as it may. */
  private runTo(timeMs: number, value: number): void {
    const fromMs = this.beforeMs;
    if (fromMs >= this.rule.endsMs || fromMs < this.rule.startsMs) this.rule = ruleAt(this.rules, fromMs);
    const { rule } = this;
    const endMs = Math.min(timeMs, fromMs + rule.heldMs, rule.endsMs);
    const isStraight = rule.isLinear && value === value && endMs === timeMs && timeMs < rule.endsMs;
    const slope = isStraight && timeMs > fromMs ? (value - this.beforeValue) / (timeMs - fromMs) : 0;
    this.spread(fromMs, endMs, slope);
  }

  private spread(fromMs: number, endMs: number, slope: number): void {
    const { edges, length } = this;
    let start = Math.max(fromMs, edges[0] ?? 0);
    const end = Math.min(endMs, edges[length] ?? 0);
    let { at } = this;
    while (start < end) {
      while (start >= (edges[at + 1] ?? Infinity)) at++;
      const stop = Math.min(end, edges[at + 1] ?? Infinity);
      const duration = stop - start;
      const middle = this.beforeValue + slope * (start + duration / 2 - fromMs);
      this.integral[at] = (this.integral[at] ?? 0) + middle * duration;
      this.coveredMs[at] = (this.coveredMs[at] ?? 0) + duration;
      start = stop;
    }
    this.at = at;
  }
}
