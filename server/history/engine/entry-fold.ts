import { STORED_STATUS } from '../../contract/stored-status.ts';
import { at, type Samples } from '../samples.ts';
import { emptyEntries, ENTRY_COLUMNS, entriesOf, firstEntries, type Entries } from '../entries.ts';
import { knownValue } from './known-value.ts';
import { isStraight, ruleAt, runEnd, type SegmentRule } from './segment-rule.ts';

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
        const timeMs = at(samples.timeMs, i);
        if (timeMs >= endMs) {
          const startMs = timeMs - (timeMs % widthMs);
          entries.startMs[length] = startMs;
          endMs = startMs + widthMs;
          begin(entries, length++, { timeMs, value: knownValue(samples, i) });
        } else {
          extend(entries, length - 1, { timeMs, value: knownValue(samples, i), rules });
        }
        entries.lastUncertain[length - 1] = samples.status[i] === STORED_STATUS.uncertain ? 1 : 0;
      }
    },
    entries: () => firstEntries(entries, length),
  };
}

/** Entries of a longer width from entries of a shorter one that divides it. */
export function widerEntries(narrow: Entries, widthMs: number, rules: readonly SegmentRule[]): Entries {
  const wide = emptyEntries(narrow.startMs.length);
  let length = 0;
  let endMs = -Infinity;
  for (let row = 0; row < narrow.startMs.length; row++) {
    const narrowMs = at(narrow.startMs, row);
    if (narrowMs >= endMs) {
      const startMs = narrowMs - (narrowMs % widthMs);
      copyEntry(narrow, row, { to: wide, i: length });
      wide.startMs[length++] = startMs;
      endMs = startMs + widthMs;
    } else {
      join(wide, length - 1, {
        timeMs: at(narrow.firstTimeMs, row),
        value: at(narrow.firstValue, row),
        rules,
      });
      append(wide, length - 1, { from: narrow, row });
    }
  }
  return entriesOf((name) => wide[name].slice(0, length));
}

interface Sample {
  readonly timeMs: number;
  /** NaN when unknown. */
  readonly value: number;
}

function begin(entries: Entries, i: number, { timeMs, value }: Sample): void {
  const isKnown = !Number.isNaN(value);
  entries.count[i] = isKnown ? 1 : 0;
  for (const column of ['min', 'max', 'firstKnown', 'lastKnown', 'firstValue', 'lastValue'] as const) {
    entries[column][i] = value;
  }
  entries.firstTimeMs[i] = timeMs;
  entries.lastTimeMs[i] = timeMs;
}

function extend(
  entries: Entries,
  i: number,
  sample: Sample & { readonly rules: readonly SegmentRule[] },
): void {
  join(entries, i, sample);
  const { timeMs, value } = sample;
  entries.lastTimeMs[i] = timeMs;
  entries.lastValue[i] = value;
  if (!Number.isNaN(value))
    mergeKnown(entries, i, { count: 1, min: value, max: value, first: value, last: value });
}

/** Adds the stretch from the entry's last sample to the next one. */
function join(entries: Entries, i: number, next: Sample & { readonly rules: readonly SegmentRule[] }): void {
  const value = at(entries.lastValue, i);
  if (Number.isNaN(value)) return;
  const fromMs = at(entries.lastTimeMs, i);
  const rule = ruleAt(next.rules, fromMs);
  const endMs = runEnd(rule, fromMs, next.timeMs);
  const mean = isStraight(rule, endMs, next) ? (value + next.value) / 2 : value;
  entries.integral[i] = at(entries.integral, i) + mean * (endMs - fromMs);
  entries.coveredMs[i] = at(entries.coveredMs, i) + endMs - fromMs;
  entries.uncertainMs[i] = at(entries.uncertainMs, i) + (endMs - fromMs) * at(entries.lastUncertain, i);
}

/** Adds all of another entry's own. */
function append(
  entries: Entries,
  i: number,
  { from, row }: { readonly from: Entries; readonly row: number },
): void {
  entries.integral[i] = at(entries.integral, i) + at(from.integral, row);
  entries.coveredMs[i] = at(entries.coveredMs, i) + at(from.coveredMs, row);
  entries.uncertainMs[i] = at(entries.uncertainMs, i) + at(from.uncertainMs, row);
  entries.lastUncertain[i] = at(from.lastUncertain, row);
  entries.lastTimeMs[i] = at(from.lastTimeMs, row);
  entries.lastValue[i] = at(from.lastValue, row);
  mergeKnown(entries, i, knownOf(from, row));
}

/** What an entry says of its known samples. */
interface KnownPart {
  readonly count: number;
  readonly min: number;
  readonly max: number;
  readonly first: number;
  readonly last: number;
}

function knownOf(entries: Entries, i: number): KnownPart {
  return {
    count: at(entries.count, i),
    min: at(entries.min, i),
    max: at(entries.max, i),
    first: at(entries.firstKnown, i),
    last: at(entries.lastKnown, i),
  };
}

function mergeKnown(entries: Entries, i: number, part: KnownPart): void {
  if (part.count === 0) return;
  if (at(entries.count, i) === 0) {
    entries.firstKnown[i] = part.first;
    entries.min[i] = part.min;
    entries.max[i] = part.max;
  } else {
    if (part.min < at(entries.min, i)) entries.min[i] = part.min;
    if (part.max > at(entries.max, i)) entries.max[i] = part.max;
  }
  entries.lastKnown[i] = part.last;
  entries.count[i] = at(entries.count, i) + part.count;
}

function copyEntry(from: Entries, row: number, target: { readonly to: Entries; readonly i: number }): void {
  for (const name of ENTRY_COLUMNS) target.to[name][target.i] = at(from[name], row);
}
