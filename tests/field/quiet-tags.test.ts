import { describe, expect, it } from 'vitest';
import { provenTimeMs, quietTags } from '#server/field/quiet-tags.ts';
import { remember, tagTable, type TagTable } from '#server/field/tag-table.ts';
import type { DataValueLike } from '#server/field/to-reading.ts';

const STALE_MS = 4000;

interface Heard {
  readonly sourceTimeMs: number;
  readonly arrivalMs: number;
  readonly serverMs?: number;
}

/** One tag that was heard as told, in order. */
function tableOf(...heard: readonly Heard[]): TagTable {
  const table = tagTable([
    { tag: 'a', endpoint: 'plant', node: 'i=1', staleAfterMs: STALE_MS, factor: null },
  ]);
  for (const { sourceTimeMs, arrivalMs, serverMs = NaN } of heard) {
    const reading = { tag: 'a', sourceTimeMs, arrivalMs, value: 1, quality: 'good' as const };
    remember(table, 0, reading);
    table.serverMs[0] = serverMs;
  }
  return table;
}

function read(
  sourceMs: number | null,
  serverMs: number | null,
  nowMs: number,
): { change: DataValueLike } & { nowMs: number; clockOffsetMs: number } {
  const date = (timeMs: number | null) => (timeMs === null ? null : new Date(timeMs));
  return {
    change: {
      value: { dataType: 11, arrayType: 0, value: 1 },
      statusCode: { value: 0 },
      sourceTimestamp: date(sourceMs),
      serverTimestamp: date(serverMs),
    },
    nowMs,
    clockOffsetMs: 0,
  };
}

describe('quietTags', () => {
  const at = (nowMs: number) => ({ nowMs, clockOffsetMs: 0 });

  it('has a tag when half of its allowed age has passed since it arrived, and not before', () => {
    const table = tableOf(
      { sourceTimeMs: 10_000, arrivalMs: 10_000 },
      { sourceTimeMs: 11_000, arrivalMs: 11_000 },
    );
    expect(quietTags(table, at(12_999))).toEqual([]);
    expect(quietTags(table, at(13_000))).toEqual([0]);
  });

  it('has a tag from which nothing has come', () => {
    expect(quietTags(tableOf(), at(0))).toEqual([0]);
  });

  it('has at once a first value that was old when it came, as of a contact at rest', () => {
    expect(quietTags(tableOf({ sourceTimeMs: 2000, arrivalMs: 10_000 }), at(10_000))).toEqual([0]);
  });

  it('leaves a first value alone that is only old by a clock which is known to be behind', () => {
    const table = tableOf({ sourceTimeMs: 2000, arrivalMs: 10_000 });
    expect(quietTags(table, { nowMs: 10_000, clockOffsetMs: -8000 })).toEqual([]);
  });

  it('has every tag after our clock was set back, when ages tell nothing', () => {
    expect(quietTags(tableOf({ sourceTimeMs: 10_000, arrivalMs: 10_000 }), at(5000))).toEqual([0]);
  });

  it('leaves out a tag that the plant refuses', () => {
    const table = tableOf();
    table.isRefused[0] = 1;
    expect(quietTags(table, at(0))).toEqual([]);
  });
});

describe('provenTimeMs', () => {
  const first = { sourceTimeMs: 1000, arrivalMs: 1010, serverMs: 1005 };
  const changed = { sourceTimeMs: 5000, arrivalMs: 5100, serverMs: 5050 };

  it('is the source time where that has moved', () => {
    expect(provenTimeMs(tableOf(first, changed), 0, read(7000, 7300, 7400))).toBe(7000);
  });

  it('moves an unmoved source time by what has passed at the server: 5000 + (8050 - 5050), by hand', () => {
    expect(provenTimeMs(tableOf(first, changed), 0, read(5000, 8050, 8400))).toBe(8000);
  });

  it('stays behind the server clock by as much as the controller clock does, so that the next change is later', () => {
    const lagging = { sourceTimeMs: 5000, arrivalMs: 65_010, serverMs: 65_000 };
    const provenMs = provenTimeMs(tableOf(first, lagging), 0, read(5000, 68_000, 68_010)) ?? NaN;
    expect(provenMs).toBe(8000);
    const nextChangeBySlowClockMs = 8500;
    expect(provenMs).toBeLessThan(nextChangeBySlowClockMs);
  });

  it('is the time of the server for the first value of a connection, whose age may have any reason', () => {
    expect(provenTimeMs(tableOf(first), 0, read(1000, 9000, 9010))).toBe(9000);
  });

  it('is our time by the plant clock where the server gives none', () => {
    expect(provenTimeMs(tableOf(first), 0, { ...read(1000, null, 9000), clockOffsetMs: 250 })).toBe(9250);
    const timeless = { sourceTimeMs: 5000, arrivalMs: 5100 };
    expect(provenTimeMs(tableOf(first, timeless), 0, read(5000, null, 8100))).toBe(8000);
  });

  it('is nothing when no clock has moved', () => {
    expect(provenTimeMs(tableOf(first, changed), 0, read(5000, 5050, 5100))).toBeNull();
  });
});
