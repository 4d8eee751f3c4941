import type { Samples } from '../samples.ts';
import { emptyEntries, entriesOf, type Entries } from '../entries.ts';
import { knownValue } from './known-value.ts';
import { ruleAt, type SegmentRule } from './segment-rule.ts';

/** Builds the rollup entries of a day from its samples, which come in ascending pieces. */
export interface EntryFold {
  add(samples: Samples): void;
  entries(): Entries;
}

export function newEntryFold(widthMs: number, most: number, rules: readonly SegmentRule[]): EntryFold {
  const entries = emptyEntries(most);
  let length = 0;
  let endMs = -Infinity;
  return {
    add(samples) {
      for (let i = 0; i < samples.timeMs.length; i++) {
        const timeMs = samples.timeMs[i] ?? 0;
        if (timeMs >= endMs) {
          entries.startMs[length] = timeMs - (timeMs % widthMs);
          endMs = (entries.startMs[length] ?? 0) + widthMs;
          begin(entries, length++, { timeMs, value: knownValue(samples, i) });
        } else {
          extend(entries, length - 1, { timeMs, value: knownValue(samples, i), rules });
        }
      }
    },
    entries: () => entriesOf((name) => entries[name].subarray(0, length)),
  };
}

/** Entries of a longer width from entries of a shorter one that divides it. */
export function widerEntries(narrow: Entries, widthMs: number, rules: readonly SegmentRule[]): Entries {
  const wide = emptyEntries(narrow.startMs.length);
  let length = 0;
  let endMs = -Infinity;
  for (let i = 0; i < narrow.startMs.length; i++) {
    const startMs = narrow.startMs[i] ?? 0;
    if (startMs >= endMs) {
      copyEntry(narrow, i, { to: wide, at: length });
      wide.startMs[length] = startMs - (startMs % widthMs);
      endMs = (wide.startMs[length] ?? 0) + widthMs;
      length++;
    } else {
      join(wide, length - 1, {
        timeMs: narrow.firstTimeMs[i] ?? 0,
        value: narrow.firstValue[i] ?? NaN,
        rules,
      });
      append(wide, length - 1, { from: narrow, i });
    }
  }
  return entriesOf((name) => wide[name].slice(0, length));
}

interface Sample {
  readonly timeMs: number;
  /** NaN when unknown. */
  readonly value: number;
}

function begin(entries: Entries, at: number, { timeMs, value }: Sample): void {
  const isKnown = !Number.isNaN(value);
  entries.count[at] = isKnown ? 1 : 0;
  for (const column of ['min', 'max', 'firstKnown', 'lastKnown', 'firstValue', 'lastValue'] as const) {
    entries[column][at] = value;
  }
  entries.firstTimeMs[at] = timeMs;
  entries.lastTimeMs[at] = timeMs;
}

function extend(
  entries: Entries,
  at: number,
  sample: Sample & { readonly rules: readonly SegmentRule[] },
): void {
  join(entries, at, sample);
  const { timeMs, value } = sample;
  entries.lastTimeMs[at] = timeMs;
  entries.lastValue[at] = value;
  if (Number.isNaN(value)) return;
  if (entries.count[at] === 0) {
    entries.min[at] = value;
    entries.max[at] = value;
    entries.firstKnown[at] = value;
  } else {
    if (value < (entries.min[at] ?? 0)) entries.min[at] = value;
    if (value > (entries.max[at] ?? 0)) entries.max[at] = value;
  }
  entries.lastKnown[at] = value;
  entries.count[at] = (entries.count[at] ?? 0) + 1;
}

/** Adds the stretch from the entry's last sample to the next one. */
function join(entries: Entries, at: number, next: Sample & { readonly rules: readonly SegmentRule[] }): void {
  const value = entries.lastValue[at] ?? NaN;
  if (Number.isNaN(value)) return;
  const fromMs = entries.lastTimeMs[at] ?? 0;
  const rule = ruleAt(next.rules, fromMs);
  const endMs = Math.min(next.timeMs, fromMs + rule.heldMs, rule.endsMs);
  const isStraight =
    rule.isLinear && !Number.isNaN(next.value) && endMs === next.timeMs && endMs < rule.endsMs;
  const mean = isStraight ? (value + next.value) / 2 : value;
  entries.integral[at] = (entries.integral[at] ?? 0) + mean * (endMs - fromMs);
  entries.coveredMs[at] = (entries.coveredMs[at] ?? 0) + endMs - fromMs;
}

function append(
  entries: Entries,
  at: number,
  { from, i }: { readonly from: Entries; readonly i: number },
): void {
  entries.integral[at] = (entries.integral[at] ?? 0) + (from.integral[i] ?? 0);
  entries.coveredMs[at] = (entries.coveredMs[at] ?? 0) + (from.coveredMs[i] ?? 0);
  entries.lastTimeMs[at] = from.lastTimeMs[i] ?? 0;
  entries.lastValue[at] = from.lastValue[i] ?? NaN;
  const more = from.count[i] ?? 0;
  if (more === 0) return;
  const isFirst = entries.count[at] === 0;
  if (isFirst) entries.firstKnown[at] = from.firstKnown[i] ?? NaN;
  entries.min[at] = isFirst ? (from.min[i] ?? NaN) : Math.min(entries.min[at] ?? NaN, from.min[i] ?? NaN);
  entries.max[at] = isFirst ? (from.max[i] ?? NaN) : Math.max(entries.max[at] ?? NaN, from.max[i] ?? NaN);
  entries.lastKnown[at] = from.lastKnown[i] ?? NaN;
  entries.count[at] = (entries.count[at] ?? 0) + more;
}

function copyEntry(from: Entries, i: number, target: { readonly to: Entries; readonly at: number }): void {
  const columns = Object.keys(from) as (keyof Entries)[];
  for (const name of columns) target.to[name][target.at] = from[name][i] ?? NaN;
}
