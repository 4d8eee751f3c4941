import { describe, expect, it } from 'vitest';
import {
  beginStretches,
  endStretches,
  missingSince,
  STRETCHES_OF_TAG_MAX,
  type Stretch,
} from '#server/field/missed-stretches.ts';
import { beginConnection, remember, tagTable, type TagTable } from '#server/field/tag-table.ts';

const TAGS = ['a', 'b'].map((tag) => ({
  tag,
  endpoint: 'plant',
  node: 'i=1',
  staleAfterMs: 5000,
  factor: null,
}));

const STOOD = { value: 1, quality: 'good' };

function hear(table: TagTable, index: number, sourceTimeMs: number): void {
  const reading = { tag: '', sourceTimeMs, arrivalMs: sourceTimeMs, value: 1, quality: 'good' as const };
  remember(table, index, reading);
}

describe('what is missing', () => {
  it('is at the start all between the newest kept reading and the first live one, for each tag', () => {
    const table = tagTable(TAGS);
    const missing = missingSince([1000, null]);
    hear(table, 0, 9000);
    hear(table, 1, 9100);
    hear(table, 1, 9200);
    endStretches(missing, table, 8900);
    expect(missing.waiting).toEqual([
      { index: 0, fromMs: 1000, toMs: 9000, before: null, lostMs: null, isHeld: false },
      { index: 1, fromMs: -Infinity, toMs: 9100, before: null, lostMs: null, isHeld: false },
    ]);
  });

  it('is after a break all between the last reading before it and the first after it', () => {
    const table = tagTable(TAGS);
    const missing = missingSince([null, null]);
    hear(table, 0, 1000);
    endStretches(missing, table, 1000);
    missing.waiting = [];
    hear(table, 0, 2000);
    beginStretches(missing, table, 2500);
    beginConnection(table);
    hear(table, 0, 7000);
    hear(table, 0, 8000);
    endStretches(missing, table, 6900);
    expect(missing.waiting).toEqual([
      { index: 0, fromMs: 2000, toMs: 7000, before: STOOD, lostMs: 2500, isHeld: false },
    ]);
  });

  it('ends with the break itself for a tag that stood still', () => {
    const table = tagTable(TAGS);
    const missing = missingSince([4000, null]);
    hear(table, 0, 500);
    endStretches(missing, table, 6900);
    expect(missing.waiting).toEqual([
      { index: 0, fromMs: 4000, toMs: 6900, before: STOOD, lostMs: null, isHeld: true },
    ]);
  });

  it('goes on, over a value that stood still, from a first reading that was old when it came', () => {
    const table = tagTable(TAGS);
    const missing = missingSince([4000, null]);
    hear(table, 0, 5000);
    hear(table, 0, 20_100);
    endStretches(missing, table, 20_000);
    expect(missing.waiting).toEqual([
      { index: 0, fromMs: 4000, toMs: 5000, before: null, lostMs: null, isHeld: false },
      { index: 0, fromMs: 5000, toMs: 20_000, before: STOOD, lostMs: null, isHeld: true },
    ]);
  });

  it('stays open over a connection on which the tag was not heard', () => {
    const table = tagTable(TAGS);
    const missing = missingSince([1000, 1000]);
    beginStretches(missing, table, 2000);
    beginConnection(table);
    beginStretches(missing, table, 3000);
    beginConnection(table);
    hear(table, 0, 9000);
    endStretches(missing, table, 8000);
    expect(missing.waiting).toEqual([
      { index: 0, fromMs: 1000, toMs: 9000, before: null, lostMs: null, isHeld: false },
    ]);
  });

  it('is no more than eight waiting stretches of a tag; the oldest are handed back to be marked', () => {
    const table = tagTable(TAGS);
    const missing = missingSince([0, 0]);
    const handedBack: Stretch[] = [];
    for (let round = 1; round <= 30; round++) {
      beginConnection(table);
      hear(table, 0, round * 1000);
      endStretches(missing, table, round * 1000);
      handedBack.push(...beginStretches(missing, table, round * 1000 + 1));
    }
    expect(missing.waiting).toHaveLength(STRETCHES_OF_TAG_MAX * TAGS.length);
    expect(handedBack).toHaveLength(30 - STRETCHES_OF_TAG_MAX * TAGS.length);
    expect(handedBack[0]?.fromMs).toBe(0);
  });
});
