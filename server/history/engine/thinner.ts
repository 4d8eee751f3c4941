import type { SeriesId, ThinnedColumns } from '../../ports/sample-store.ts';
import { at, firstAtOrAfter, type Samples } from '../samples.ts';
import type { Entries } from '../entries.ts';
import { knownOf, type KnownPart } from './entry-fold.ts';
import { knownValue } from './known-value.ts';
import { isStraight, ruleAt, runEnd, type SegmentRule } from './segment-rule.ts';

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
        buckets.addSample(at(samples.timeMs, i), knownValue(samples, i));
        i = buckets.addWithinBucket(samples, i + 1);
      }
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
  private index = 0;
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
    this.runTo(timeMs, value);
    this.beforeMs = timeMs;
    this.beforeValue = value;
    if (Number.isNaN(value) || !this.moveTo(timeMs)) return;
    const i = this.index;
    if (at(this.count, i) === 0) {
      this.first[i] = value;
      this.min[i] = value;
      this.max[i] = value;
    } else {
      if (value < at(this.min, i)) this.min[i] = value;
      if (value > at(this.max, i)) this.max[i] = value;
    }
    this.last[i] = value;
    this.count[i] = at(this.count, i) + 1;
  }

  /**
   * Adds the known samples from `from` on that follow each other within the bucket and within what is held, which is
   * nearly all of them; returns the first that does not. The same sums as `addSample` makes, with less looking.
   */
  addWithinBucket(samples: Samples, from: number): number {
    const { index, rule } = this;
    if (Number.isNaN(this.beforeValue) || !this.isInside(this.beforeMs)) return from;
    const endMs = Math.min(at(this.edges, index + 1), rule.endsMs);
    let [fromMs, before] = [this.beforeMs, this.beforeValue];
    let [min, max, integral, i] = [at(this.min, index), at(this.max, index), 0, from];
    for (; i < samples.timeMs.length; i++) {
      const timeMs = at(samples.timeMs, i);
      const value = knownValue(samples, i);
      if (timeMs >= endMs || timeMs - fromMs > rule.heldMs || Number.isNaN(value)) break;
      integral += (rule.isLinear ? (before + value) / 2 : before) * (timeMs - fromMs);
      min = Math.min(min, value);
      max = Math.max(max, value);
      fromMs = timeMs;
      before = value;
    }
    if (i === from) return from;
    this.min[index] = min;
    this.max[index] = max;
    this.last[index] = before;
    this.count[index] = at(this.count, index) + i - from;
    this.integral[index] = at(this.integral, index) + integral;
    this.coveredMs[index] = at(this.coveredMs, index) + fromMs - this.beforeMs;
    this.beforeMs = fromMs;
    this.beforeValue = before;
    return i;
  }

  addEntry(entries: Entries, row: number): void {
    this.runTo(at(entries.firstTimeMs, row), at(entries.firstValue, row));
    this.beforeMs = at(entries.lastTimeMs, row);
    this.beforeValue = at(entries.lastValue, row);
    if (!this.moveTo(at(entries.startMs, row))) return;
    const i = this.index;
    this.integral[i] = at(this.integral, i) + at(entries.integral, row);
    this.coveredMs[i] = at(this.coveredMs, i) + at(entries.coveredMs, row);
    this.addKnown(knownOf(entries, row));
  }

  private addKnown(part: KnownPart): void {
    if (part.count === 0) return;
    const i = this.index;
    const isFirst = at(this.count, i) === 0;
    if (isFirst) this.first[i] = part.first;
    if (isFirst || part.min < at(this.min, i)) this.min[i] = part.min;
    if (isFirst || part.max > at(this.max, i)) this.max[i] = part.max;
    this.last[i] = part.last;
    this.count[i] = at(this.count, i) + part.count;
  }

  finished(series: SeriesId): ThinnedColumns {
    this.runTo(Infinity, NaN);
    const mean = new Float64Array(this.length);
    const coveredRatio = new Float64Array(this.length);
    for (let i = 0; i < this.length; i++) {
      const covered = at(this.coveredMs, i);
      const width = at(this.edges, i + 1) - at(this.edges, i);
      mean[i] = covered > 0 ? at(this.integral, i) / covered : NaN;
      coveredRatio[i] = Math.min(1, covered / width);
    }
    const { first, last, min, max, count } = this;
    const timeMs = this.edges.slice(0, this.length);
    return {
      series,
      endMs: at(this.edges, this.length),
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

  /** Whether the time lies in the bucket that the latest sample moved to, by the rule that is looked up. */
  private isInside(timeMs: number): boolean {
    const { edges, index, rule } = this;
    return (
      timeMs >= at(edges, index) &&
      timeMs < at(edges, index + 1) &&
      timeMs >= rule.startsMs &&
      timeMs < rule.endsMs
    );
  }

  /** Moves to the bucket of a time; false when it lies in none. */
  private moveTo(timeMs: number): boolean {
    const { edges } = this;
    if (timeMs < at(edges, 0) || timeMs >= at(edges, this.length)) return false;
    while (timeMs >= at(edges, this.index + 1)) this.index++;
    return true;
  }

  /** The known value before runs to this sample, or as far as it may. */
  private runTo(timeMs: number, value: number): void {
    if (Number.isNaN(this.beforeValue)) return;
    const fromMs = this.beforeMs;
    if (fromMs >= this.rule.endsMs || fromMs < this.rule.startsMs) this.rule = ruleAt(this.rules, fromMs);
    const endMs = runEnd(this.rule, fromMs, timeMs);
    const isSloped = isStraight(this.rule, endMs, { timeMs, value });
    this.spread(fromMs, endMs, isSloped ? (value - this.beforeValue) / (timeMs - fromMs) : 0);
  }

  private spread(fromMs: number, endMs: number, slope: number): void {
    const { edges } = this;
    let startMs = Math.max(fromMs, at(edges, 0));
    const lastMs = Math.min(endMs, at(edges, this.length));
    while (startMs < lastMs) {
      while (startMs >= at(edges, this.index + 1)) this.index++;
      const i = this.index;
      const stopMs = Math.min(lastMs, at(edges, i + 1));
      const middle = this.beforeValue + slope * ((startMs + stopMs) / 2 - fromMs);
      this.integral[i] = at(this.integral, i) + middle * (stopMs - startMs);
      this.coveredMs[i] = at(this.coveredMs, i) + stopMs - startMs;
      startMs = stopMs;
    }
  }
}
