/**
 * What a rollup keeps of each minute or hour that has samples, one column a property. Nothing in it depends on
 * samples outside of the entry: integral and cover run from its first sample to its last, and the stretch
 * between two entries is added when they are read, from `lastTimeMs` and `lastValue` of the one to
 * `firstTimeMs` and `firstValue` of the other. So an entry stays true whatever comes before or after it.
 */
export interface Entries {
  readonly startMs: Float64Array;
  /** Samples with a value that counts: good or uncertain. The next four are of these, NaN when there are none. */
  readonly count: Float64Array;
  readonly min: Float64Array;
  readonly max: Float64Array;
  readonly firstKnown: Float64Array;
  readonly lastKnown: Float64Array;
  /** The first and last sample of any status; the value is NaN when it does not count. */
  readonly firstTimeMs: Float64Array;
  readonly firstValue: Float64Array;
  readonly lastTimeMs: Float64Array;
  readonly lastValue: Float64Array;
  /** Value times milliseconds. */
  readonly integral: Float64Array;
  readonly coveredMs: Float64Array;
  /** The part of `coveredMs` in which the value was only uncertain. */
  readonly uncertainMs: Float64Array;
  /** 1 where the last sample is uncertain, so that what runs on from it is too; else 0. */
  readonly lastUncertain: Float64Array;
}

export const ENTRY_COLUMNS = [
  'startMs',
  'count',
  'min',
  'max',
  'firstKnown',
  'lastKnown',
  'firstTimeMs',
  'firstValue',
  'lastTimeMs',
  'lastValue',
  'integral',
  'coveredMs',
  'uncertainMs',
  'lastUncertain',
] as const satisfies readonly (keyof Entries)[];

export function emptyEntries(length: number): Entries {
  return entriesOf(() => new Float64Array(length));
}

export function entriesOf(column: (name: keyof Entries) => Float64Array): Entries {
  return {
    startMs: column('startMs'),
    count: column('count'),
    min: column('min'),
    max: column('max'),
    firstKnown: column('firstKnown'),
    lastKnown: column('lastKnown'),
    firstTimeMs: column('firstTimeMs'),
    firstValue: column('firstValue'),
    lastTimeMs: column('lastTimeMs'),
    lastValue: column('lastValue'),
    integral: column('integral'),
    coveredMs: column('coveredMs'),
    uncertainMs: column('uncertainMs'),
    lastUncertain: column('lastUncertain'),
  };
}

/** Views of the first `length`, not copies. */
export function firstEntries(entries: Entries, length: number): Entries {
  return entriesOf((name) => entries[name].subarray(0, length));
}
