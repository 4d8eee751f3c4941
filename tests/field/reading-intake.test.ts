import { describe, expect, it } from 'vitest';
import type { Reading } from '#server/contract/reading.ts';
import { ReadingIntake } from '#server/field/reading-intake.ts';
import type { DataValueLike } from '#server/field/to-reading.ts';

const TAGS = ['a', 'b'].map((tag) => ({
  tag,
  endpoint: 'plant',
  node: 'i=1',
  staleAfterMs: 4000,
  factor: null,
}));

function intakeAt(clock: { nowMs: number }): { intake: ReadingIntake; batches: (readonly Reading[])[] } {
  const batches: (readonly Reading[])[] = [];
  const sink = {
    readings: (batch: readonly Reading[]) => void batches.push(batch),
    backfill: () => undefined,
    link: () => undefined,
    gap: () => undefined,
  };
  const intake = new ReadingIntake(TAGS, sink, { nowMs: () => clock.nowMs, every: () => () => undefined });
  return { intake, batches };
}

function change(value: number, sourceMs: number): DataValueLike {
  return {
    value: { dataType: 11, arrayType: 0, value },
    statusCode: { value: 0 },
    sourceTimestamp: new Date(sourceMs),
    serverTimestamp: new Date(sourceMs),
  };
}

const told = (batches: readonly (readonly Reading[])[]) =>
  batches.flat().map(({ tag, value, sourceTimeMs }) => [tag, value, sourceTimeMs]);

describe('ReadingIntake', () => {
  it('hands on all changes of one response in one batch, in order of arrival', async () => {
    const { intake, batches } = intakeAt({ nowMs: 10_000 });
    intake.changed(1, change(1, 9000));
    intake.changed(0, change(2, 9100));
    intake.changed(1, change(3, 9200));
    expect(batches).toHaveLength(0);
    await Promise.resolve();
    expect(batches).toHaveLength(1);
    expect(told(batches)).toEqual([
      ['b', 1, 9000],
      ['a', 2, 9100],
      ['b', 3, 9200],
    ]);
  });

  it('says once what a read and the subscription both tell', () => {
    const { intake, batches } = intakeAt({ nowMs: 10_000 });
    intake.changed(0, change(1, 9000));
    intake.readAgain(0, change(2, 9500));
    intake.changed(0, change(2, 9500));
    intake.flush();
    expect(told(batches)).toEqual([
      ['a', 1, 9000],
      ['a', 2, 9500],
    ]);
  });

  it('proves a value that stands still with a later source time', () => {
    const clock = { nowMs: 10_000 };
    const { intake, batches } = intakeAt(clock);
    intake.changed(0, change(1, 9000));
    clock.nowMs = 12_000;
    intake.readAgain(0, { ...change(1, 9000), serverTimestamp: new Date(11_900) });
    intake.flush();
    expect(told(batches)).toEqual([
      ['a', 1, 9000],
      ['a', 1, 11_900],
    ]);
  });

  it('does not repeat, after a break, a value that was known and proven before it', () => {
    const { intake, batches } = intakeAt({ nowMs: 10_000 });
    intake.changed(0, change(1, 9000));
    intake.readAgain(0, { ...change(1, 9000), serverTimestamp: new Date(9900) });
    intake.begin();
    intake.changed(0, change(1, 9000));
    intake.flush();
    expect(told(batches)).toHaveLength(2);
    expect(intake.table.firstSourceMs[0]).toBe(9900);
  });

  it('does tell a value that moved away and back within one connection', () => {
    const { intake, batches } = intakeAt({ nowMs: 10_000 });
    for (const [value, sourceMs] of [
      [1, 9000],
      [2, 9100],
      [1, 9200],
    ] as const) {
      intake.changed(0, change(value, sourceMs));
    }
    intake.flush();
    expect(told(batches)).toHaveLength(3);
  });

  it('counts the reads that contradict the subscription until it speaks again', () => {
    const { intake } = intakeAt({ nowMs: 10_000 });
    intake.changed(0, change(1, 9000));
    intake.readAgain(0, change(2, 9100));
    intake.readAgain(0, change(3, 9200));
    intake.readAgain(0, change(3, 9300));
    expect(intake.table.contradictions[0]).toBe(2);
    intake.changed(0, change(4, 9400));
    expect(intake.table.contradictions[0]).toBe(0);
  });

  it('tells of a refused tag once as bad, for each connection', () => {
    const { intake, batches } = intakeAt({ nowMs: 10_000 });
    expect(intake.refused(0)).toBe(true);
    expect(intake.refused(0)).toBe(false);
    intake.begin();
    expect(intake.refused(0)).toBe(true);
    intake.flush();
    expect(batches.flat().map(({ quality, value }) => [quality, value])).toEqual([
      ['bad', null],
      ['bad', null],
    ]);
  });
});
