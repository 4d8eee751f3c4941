import { STORED_STATUS } from '../../contract/stored-status.ts';
import type { SeriesId, ThinnedColumns } from '../../ports/sample-store.ts';
import type { Entries } from '../entries.ts';
import { at, type Samples } from '../samples.ts';
import { knownValue } from './known-value.ts';
import { isStraight, ruleAt, runEnd, type SegmentRule } from './segment-rule.ts';

/** `timeMs`, `first`, `last`, `min`, `max`, `mean`, `coveredRatio`, `uncertainRatio`: doubles, before the counts. */
const FINISHED_COLUMNS = 8;

/** A class for speed: every reading of a long answer goes through `addSample`. */
export class Buckets {
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
  private readonly uncertainMs: Float64Array;
  private rule: SegmentRule;
  /** Bucket of the latest sample, or of the one after it. */
  private index = 0;
  private beforeMs = NaN;
  private beforeValue = NaN;
  private isBeforeUncertain = false;

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
    this.uncertainMs = new Float64Array(this.length);
    this.rule = ruleAt(rules, -Infinity);
  }

  addSample(samples: Samples, row: number): void {
    const timeMs = at(samples.timeMs, row);
    const value = knownValue(samples, row);
    this.runTo(timeMs, value);
    this.beforeMs = timeMs;
    this.beforeValue = value;
    this.isBeforeUncertain = samples.status[row] === STORED_STATUS.uncertain;
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
   * Adds the samples from `from` on that are as good as the one before and follow each other within the bucket and
   * within what is held, which is nearly all of them; returns the first that does not. The same sums as `addSample`
   * makes, with less looking: every reading of a long answer goes through this loop.
   */
  addWithinBucket(samples: Samples, from: number): number {
    const end = this.endWithinBucket(samples, from);
    if (end === from) return end;
    const { index } = this;
    const { timeMs, value } = samples;
    const beforeShare = this.rule.isLinear ? 0.5 : 1;
    let fromMs = this.beforeMs;
    let before = this.beforeValue;
    let min = at(this.min, index);
    let max = at(this.max, index);
    let integral = 0;
    for (let i = from; i < end; i++) {
      const nextMs = at(timeMs, i);
      const next = at(value, i);
      integral += (before * beforeShare + next * (1 - beforeShare)) * (nextMs - fromMs);
      if (next < min) min = next;
      if (next > max) max = next;
      fromMs = nextMs;
      before = next;
    }
    this.min[index] = min;
    this.max[index] = max;
    this.last[index] = before;
    this.count[index] = at(this.count, index) + end - from;
    this.integral[index] = at(this.integral, index) + integral;
    this.cover(index, fromMs - this.beforeMs);
    this.beforeMs = fromMs;
    this.beforeValue = before;
    return end;
  }

  private endWithinBucket({ timeMs, value, status }: Samples, from: number): number {
    if (!this.isRunning()) return from;
    const endMs = Math.min(at(this.edges, this.index + 1), this.rule.endsMs);
    const { heldMs } = this.rule;
    const wanted = this.isBeforeUncertain ? STORED_STATUS.uncertain : STORED_STATUS.good;
    let beforeMs = this.beforeMs;
    let i = from;
    for (; i < timeMs.length; i++) {
      const nextMs = at(timeMs, i);
      if (nextMs >= endMs || nextMs - beforeMs > heldMs) break;
      if (status[i] !== wanted || Number.isNaN(at(value, i))) break;
      beforeMs = nextMs;
    }
    return i;
  }

  addEntry(entries: Entries, row: number): void {
    this.runTo(at(entries.firstTimeMs, row), at(entries.firstValue, row));
    this.beforeMs = at(entries.lastTimeMs, row);
    this.beforeValue = at(entries.lastValue, row);
    this.isBeforeUncertain = entries.lastUncertain[row] === 1;
    if (!this.moveTo(at(entries.startMs, row))) return;
    const i = this.index;
    this.integral[i] = at(this.integral, i) + at(entries.integral, row);
    this.coveredMs[i] = at(this.coveredMs, i) + at(entries.coveredMs, row);
    this.uncertainMs[i] = at(this.uncertainMs, i) + at(entries.uncertainMs, row);
    const count = at(entries.count, row);
    if (count === 0) return;
    const min = at(entries.min, row);
    const max = at(entries.max, row);
    const isFirst = at(this.count, i) === 0;
    if (isFirst) this.first[i] = at(entries.firstKnown, row);
    if (isFirst || min < at(this.min, i)) this.min[i] = min;
    if (isFirst || max > at(this.max, i)) this.max[i] = max;
    this.last[i] = at(entries.lastKnown, row);
    this.count[i] = at(this.count, i) + count;
  }

  /** As `addWithinBucket`, for the entries of whole good minutes: a month of them goes through this loop. */
  addEntriesWithinBucket(entries: Entries, from: number, most: number): number {
    const end = this.entriesEndWithinBucket(entries, from, most);
    if (end === from) return end;
    const { index } = this;
    const beforeShare = this.rule.isLinear ? 0.5 : 1;
    let beforeMs = this.beforeMs;
    let before = this.beforeValue;
    let min = at(this.min, index);
    let max = at(this.max, index);
    let [integral, coveredMs, count] = [0, 0, 0];
    for (let i = from; i < end; i++) {
      const runsMs = at(entries.firstTimeMs, i) - beforeMs;
      const next = at(entries.firstValue, i);
      integral += (before * beforeShare + next * (1 - beforeShare)) * runsMs + at(entries.integral, i);
      coveredMs += runsMs + at(entries.coveredMs, i);
      count += at(entries.count, i);
      if (at(entries.min, i) < min) min = at(entries.min, i);
      if (at(entries.max, i) > max) max = at(entries.max, i);
      beforeMs = at(entries.lastTimeMs, i);
      before = at(entries.lastValue, i);
    }
    this.min[index] = min;
    this.max[index] = max;
    this.last[index] = before;
    this.count[index] = at(this.count, index) + count;
    this.integral[index] = at(this.integral, index) + integral;
    this.coveredMs[index] = at(this.coveredMs, index) + coveredMs;
    this.beforeMs = beforeMs;
    this.beforeValue = before;
    return end;
  }

  /** Entries that begin and end with a known value, have nothing uncertain, and follow within what is held. */
  private entriesEndWithinBucket(entries: Entries, from: number, most: number): number {
    const { startMs, firstTimeMs, firstValue, lastTimeMs, lastValue, uncertainMs, lastUncertain } = entries;
    if (this.isBeforeUncertain || !this.isRunning() || at(this.count, this.index) === 0) return from;
    const endMs = Math.min(at(this.edges, this.index + 1), this.rule.endsMs);
    const { heldMs } = this.rule;
    let beforeMs = this.beforeMs;
    let i = from;
    for (; i < most; i++) {
      const firstMs = at(firstTimeMs, i);
      if (at(startMs, i) >= endMs || at(lastTimeMs, i) >= endMs || firstMs - beforeMs > heldMs) break;
      if (Number.isNaN(at(firstValue, i) + at(lastValue, i))) break;
      if (at(uncertainMs, i) + at(lastUncertain, i) > 0) break;
      beforeMs = at(lastTimeMs, i);
    }
    return i;
  }

  /** All columns in one buffer, which goes to the reader in one piece. */
  finished(series: SeriesId): ThinnedColumns {
    this.runTo(Infinity, NaN);
    const { length, edges } = this;
    const buffer = new ArrayBuffer(length * (FINISHED_COLUMNS * Float64Array.BYTES_PER_ELEMENT + 4));
    let filled = 0;
    const column = (from?: Float64Array): Float64Array => {
      const place = new Float64Array(buffer, filled++ * length * Float64Array.BYTES_PER_ELEMENT, length);
      if (from !== undefined) place.set(from);
      return place;
    };
    const columns = {
      timeMs: column(edges.subarray(0, length)),
      first: column(this.first),
      last: column(this.last),
      min: column(this.min),
      max: column(this.max),
      mean: column(),
      coveredRatio: column(),
      uncertainRatio: column(),
      count: new Uint32Array(buffer, FINISHED_COLUMNS * length * Float64Array.BYTES_PER_ELEMENT, length),
    };
    columns.count.set(this.count);
    for (let i = 0; i < length; i++) {
      const covered = at(this.coveredMs, i);
      const width = at(edges, i + 1) - at(edges, i);
      columns.mean[i] = covered > 0 ? at(this.integral, i) / covered : NaN;
      columns.coveredRatio[i] = Math.min(1, covered / width);
      columns.uncertainRatio[i] = Math.min(1, at(this.uncertainMs, i) / width);
    }
    return { series, endMs: at(edges, length), ...columns };
  }

  /** Whether the sample before is known and lies in the bucket that it moved to, by the rule that is looked up. */
  private isRunning(): boolean {
    const { edges, index, rule, beforeMs: timeMs } = this;
    return (
      !Number.isNaN(this.beforeValue) &&
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
      this.cover(i, stopMs - startMs);
      startMs = stopMs;
    }
  }

  private cover(i: number, ms: number): void {
    this.coveredMs[i] = at(this.coveredMs, i) + ms;
    if (this.isBeforeUncertain) this.uncertainMs[i] = at(this.uncertainMs, i) + ms;
  }
}
