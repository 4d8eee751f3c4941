import { describe, expect, it } from 'vitest';
import type { AlarmTransition } from '#server/contract/alarm-message.ts';
import type { Mark } from '#server/contract/records.ts';
import { savedViewsFrom, savedViewsStore, withoutView, withView } from '#client/live/saved-views.ts';
import { differenceText } from '#client/views/trends/difference-text.ts';
import { clustersOf, eventsOf, NO_RECORDS, segmentsOf } from '#client/views/trends/time-events.ts';
import { underOffers } from '#client/views/trends/under-choices.ts';
import { DEFAULT_READER_UNITS } from '#server/contract/format/reader-units.ts';
import { wordsEn } from '#server/contract/format/words-en.ts';
import { FAKE_LOT, FAKE_SHIFT } from '#tests/support/fake-records.ts';

const reader = { units: DEFAULT_READER_UNITS, bushelMassKg: 27.215_542_2, words: wordsEn };

function raised(timeMs: number, more: Partial<AlarmTransition> = {}): AlarmTransition {
  return {
    ...{
      alarm: 'a.x',
      line: 'a',
      machine: null,
      subject: 'a.x',
      timeMs,
      from: 'normal',
      to: 'unacknowledged',
    },
    ...{ code: 'high', priority: 'high', by: null, params: {} },
    ...more,
  };
}

function mark(timeMs: number, line = 'a'): Mark {
  const writtenBy = { id: 'Ada', role: 'operator' } as const;
  return {
    id: timeMs,
    line,
    machine: null,
    kind: 'setting',
    text: 'gate',
    timeMs,
    writtenBy,
    writtenMs: timeMs,
  };
}

describe('eventsOf', () => {
  it('shows alarms as they were raised and marks, in order of time, of this line alone', () => {
    const records = { ...NO_RECORDS, transitions: [raised(30)], marks: [mark(40), mark(10), mark(20, 'b')] };
    expect(eventsOf(records, 'a').map(({ kind, timeMs }) => `${kind} ${timeMs}`)).toEqual([
      'mark 10',
      'alarm 30',
      'mark 40',
    ]);
  });

  it('does not show what people did about an alarm as an event of the plant', () => {
    const transitions = [raised(1, { from: 'unacknowledged', to: 'acknowledged' })];
    expect(eventsOf({ ...NO_RECORDS, transitions }, 'a')).toEqual([]);
  });
});

describe('clustersOf', () => {
  const events = eventsOf({ ...NO_RECORDS, marks: [10, 12, 50, 51, 52].map((timeMs) => mark(timeMs)) }, 'a');

  it('gathers what would stand on each other, and loses none', () => {
    const clusters = clustersOf(events, { fromMs: 0, toMs: 100 }, 5);
    expect(clusters.map(({ events: gathered }) => gathered.length)).toEqual([2, 3]);
  });

  it('leaves each by itself where there is room', () => {
    expect(clustersOf(events, { fromMs: 0, toMs: 100 }, 1)).toHaveLength(5);
  });
});

describe('segmentsOf', () => {
  it('gives a running lot no end', () => {
    const segments = segmentsOf({ ...NO_RECORDS, lots: [FAKE_LOT] }, 'a');
    expect(segments).toMatchObject([{ kind: 'lot', name: 'QM-0417', toMs: null }]);
  });
});

describe('underOffers', () => {
  it('lays earlier shifts under the one that is looked at with their starts at the same place', () => {
    const startedMs = FAKE_SHIFT.startedMs;
    const before = { ...FAKE_SHIFT, name: 'Night shift', startedMs: startedMs - 1000, endedMs: startedMs };
    const later = { ...FAKE_SHIFT, name: 'not yet', startedMs: startedMs + 5000 };
    const { shifts } = underOffers({ shifts: [before, FAKE_SHIFT, later], lots: [] }, 'a', startedMs + 100);
    expect(shifts).toEqual([{ name: 'Night shift', startedMs: startedMs - 1000, shiftMs: 1000 }]);
  });
});

describe('differenceText', () => {
  const points = { points: 'points' };

  it('turns ten degrees Celsius more into eighteen degrees Fahrenheit more, by hand', () => {
    expect(differenceText({ value: 10, unit: 'degC' }, reader, points)).toBe('+18.00\u00a0°F');
  });

  it('speaks of points where shares differ, and has a sign unless it is a spread', () => {
    expect(differenceText({ value: -0.0062, unit: '1' }, reader, points)).toBe('−0.62\u00a0points');
    expect(differenceText({ value: 0.004, unit: '1' }, reader, { ...points, isSigned: false })).toBe(
      '0.40\u00a0points',
    );
  });
});

describe('saved views', () => {
  it('keep the newest of a name, and forget by name', () => {
    const kept = withView(withView([], { name: 'dose', query: 'a' }), { name: 'dose', query: 'b' });
    expect(kept).toEqual([{ name: 'dose', query: 'b' }]);
    expect(withoutView(kept, 'dose')).toEqual([]);
  });

  it('outlive the page, and take what is no view for none', () => {
    const box = new Map<string, string>();
    const storage = {
      getItem: (key: string) => box.get(key) ?? null,
      setItem: (key: string, text: string) => void box.set(key, text),
    };
    savedViewsStore(storage).set([{ name: 'dose', query: 'show=x' }]);
    expect(savedViewsStore(storage).get()).toEqual([{ name: 'dose', query: 'show=x' }]);
    expect(savedViewsFrom('[{"name":1},7,null]')).toEqual([]);
    expect(savedViewsFrom('{not json')).toEqual([]);
  });
});
