import { describe, expect, it } from 'vitest';
import { valueRange } from '#client/charts/value-range.ts';
import { alarmCounts, inAlarmOrder, mostUrgentAbout } from '#client/live/alarm-order.ts';
import { actingPersonStore } from '#client/live/acting-person.ts';
import { preferencesFrom } from '#client/live/preferences.ts';
import { bulletLayout } from '#client/parts/bullet-layout.ts';
import { sparklinePath } from '#client/parts/sparkline-path.ts';
import { matchingTags } from '#client/views/field/matching-tags.ts';
import { visibleRows } from '#client/views/field/visible-rows.ts';
import { arrivalOf } from '#client/views/line/arrival.ts';
import { keyFigures } from '#client/views/line/key-figures.ts';
import { lineOrder } from '#client/views/line/line-order.ts';
import { machineState } from '#client/views/line/machine-state.ts';
import { paneGroups } from '#client/views/trends/pane-groups.ts';
import { choiceFrom, queryOf, TRACES_MAX } from '#client/views/trends/trend-link.ts';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';
import { fakePlant, SKETCH_MACHINES } from '#tests/support/fake-line.ts';

const { plant, line } = fakePlant(SKETCH_MACHINES);

describe('inAlarmOrder', () => {
  it('puts what must be acknowledged first, then the priority, then the newest', () => {
    const alarms = [
      fakeAlarm('known critical', { state: 'acknowledged', priority: 'critical' }),
      fakeAlarm('open low', { priority: 'low' }),
      fakeAlarm('open high, older', { raisedMs: 1 }),
      fakeAlarm('open high, newer', { raisedMs: 2 }),
    ];
    expect(inAlarmOrder(alarms).map(({ id }) => id)).toEqual([
      'open high, newer',
      'open high, older',
      'open low',
      'known critical',
    ]);
  });

  it('counts a cleared one that waits for its acknowledgement as open but not as active', () => {
    const alarms = [
      fakeAlarm('x', { state: 'returned-unacknowledged' }),
      fakeAlarm('y', { state: 'shelved' }),
    ];
    expect(alarmCounts(alarms)).toEqual({ unacknowledged: 1, active: 0, setAside: 1 });
  });

  it('colours a figure by its most urgent active alarm, never by a cleared one', () => {
    const subject = 'a.treater.dose';
    const cleared = fakeAlarm('c', { subject, priority: 'critical', state: 'returned-unacknowledged' });
    const active = fakeAlarm('a', { subject, priority: 'medium' });
    expect(mostUrgentAbout([cleared, active], [subject])?.priority).toBe('medium');
    expect(mostUrgentAbout([cleared], [subject])).toBeUndefined();
  });
});

describe('machineState', () => {
  const machine = line.graph.machines.find(({ id }) => id === 'length-grader');
  if (machine === undefined) throw new Error('the sketch has a length grader');
  const at = (value: number | null, quality: 'good' | 'bad' = 'good') => ({ timeMs: 0, value, quality });

  it('is bypassed when the gate says so, even if it runs', () => {
    expect(machineState(machine, { running: at(1), bypassed: at(1) })).toBe('bypassed');
  });

  it('is not known, rather than stopped, when its contact is bad', () => {
    expect(machineState(machine, { running: at(0, 'bad'), bypassed: at(0) })).toBe('unknown');
    expect(machineState(machine, { running: at(null), bypassed: undefined })).toBe('unknown');
  });

  it('has no state where the plant has no run contact', () => {
    expect(machineState({ ...machine, runningTag: null }, { running: undefined, bypassed: undefined })).toBe(
      'unmeasured',
    );
  });

  it('waits for its first reading', () => {
    expect(machineState(machine, { running: undefined, bypassed: undefined })).toBe('waiting');
  });
});

describe('keyFigures', () => {
  it('takes one figure of each kind by its kind, at most six', () => {
    const found = keyFigures(plant.figures, 'a');
    expect(found.map(({ kind }) => kind)).toEqual([
      'yield',
      'lot-mass',
      'dose',
      'feed-rate',
      'treated-rate',
      'moisture',
    ]);
  });

  it('has no dose on a line without a treater', () => {
    const bare = fakePlant(SKETCH_MACHINES.filter(({ kind }) => kind !== 'treater')).plant;
    expect(keyFigures(bare.figures, 'a').some(({ kind }) => kind === 'dose')).toBe(false);
  });

  it('takes none of another line', () => {
    expect(keyFigures(plant.figures, 'b')).toEqual([]);
  });
});

describe('arrivalOf', () => {
  it('adds up the transport between first and last machine: ten times 45 s, by hand', () => {
    const order = lineOrder(line.graph);
    expect(arrivalOf(line.graph, order)).toEqual({
      machine: 'Bagging',
      transportMs: 450_000,
      hasBins: false,
    });
  });
});

describe('bulletLayout', () => {
  it('puts the middle of the band in the middle of the track', () => {
    const layout = bulletLayout(5, { low: 4, high: 6, target: null });
    expect(layout?.mark).toBeCloseTo(0.5, 12);
    expect(layout?.beyond).toBe('not');
  });

  it('says on which side a value is off the track', () => {
    expect(bulletLayout(60, { low: 4, high: 6, target: null })).toMatchObject({ mark: 1, beyond: 'high' });
    expect(bulletLayout(-60, { low: 4, high: 6, target: null })).toMatchObject({ mark: 0, beyond: 'low' });
  });

  it('reaches to the end of the track on a side that is open', () => {
    expect(bulletLayout(5, { low: null, high: 6, target: null })?.bandStart).toBe(0);
    expect(bulletLayout(5, { low: 4, high: null, target: null })?.bandEnd).toBe(1);
  });

  it('draws nothing for a band without width', () => {
    expect(bulletLayout(5, { low: null, high: null, target: 5 })).toBeNull();
    expect(bulletLayout(5, { low: 5, high: 5, target: null })).toBeNull();
  });
});

describe('sparklinePath', () => {
  const box = { width: 100, height: 20 };

  it('lifts the pen over a gap', () => {
    const columns = { timeMs: [0, 1, 2, 3], min: [], max: [], mid: [1, 2, null, 3] };
    expect(sparklinePath(columns, null, box).path.match(/M/g)).toHaveLength(2);
  });

  it('is empty where nothing is known, and still shows the band', () => {
    const { path, bandTop } = sparklinePath(
      { timeMs: [], min: [], max: [], mid: [] },
      { low: 1, high: 2, target: null },
      box,
    );
    expect(path).toBe('');
    expect(bandTop).not.toBeNull();
  });
});

describe('valueRange', () => {
  it('has the whole band in view although the values fill little of it', () => {
    const trace = { timeMs: [0], min: [4.9], max: [5.1], mid: [5] };
    const [low, high] = valueRange([trace], [{ low: 4, high: 6, target: null }]);
    expect(low).toBeLessThan(4);
    expect(high).toBeGreaterThan(6);
  });

  it('does not blow noise up to the whole height', () => {
    const trace = { timeMs: [0], min: [99.99], max: [100.01], mid: [100] };
    const [low, high] = valueRange([trace], []);
    expect(high - low).toBeGreaterThan(4);
  });

  it('has a range where nothing is known', () => {
    expect(valueRange([], [])).toEqual([0, 1]);
  });
});

describe('visibleRows', () => {
  it('draws what is on the screen and a little more of ten thousand rows', () => {
    const rows = visibleRows({ count: 10_000, rowPx: 34, scrollPx: 34_000, heightPx: 680 });
    expect(rows).toEqual({ first: 988, end: 1032, abovePx: 988 * 34, belowPx: 8968 * 34 });
  });

  it('draws nothing twice when scrolled beyond the end', () => {
    const rows = visibleRows({ count: 3, rowPx: 34, scrollPx: 9999, heightPx: 680 });
    expect(rows).toEqual({ first: 0, end: 3, abovePx: 0, belowPx: 0 });
  });
});

describe('matchingTags', () => {
  it('finds by name, machine and id, in any order of words', () => {
    expect(matchingTags(plant, 'current destoner').map(({ id }) => id)).toEqual(['a.destoner.motor-current']);
    expect(matchingTags(plant, 'a.intake.run').map(({ id }) => id)).toEqual(['a.intake.running']);
    expect(matchingTags(plant, '  ')).toHaveLength(plant.tags.length);
  });
});

describe('choiceFrom', () => {
  it('opens exactly the view that a link was made from', () => {
    const choice = {
      series: ['a.line.yield', 'a.treater.dose'],
      view: { kind: 'past', fromMs: 1_000_000, toMs: 2_000_000 },
      arrangement: 'together',
      under: { shiftMs: 86_400_000, name: 'Night shift' },
      measure: { fromMs: 1_100_000, toMs: 1_200_000 },
    } as const;
    expect(choiceFrom(queryOf(choice))).toEqual({ ...choice, isChosen: true });
  });

  it('falls back to the last half hour for a span that makes no sense', () => {
    for (const spanMs of ['-5', 'x', '1e99', '']) {
      expect(choiceFrom(new URLSearchParams({ spanMs })).view).toEqual({ kind: 'live', spanMs: 1_800_000 });
    }
  });

  it('measures and lays under nothing when the link says it wrongly', () => {
    const query = new URLSearchParams({ underMs: 'x', measureFromMs: '5', measureToMs: '5' });
    expect(choiceFrom(query)).toMatchObject({ under: null, measure: null });
  });

  it('shows no trace twice and at most 24', () => {
    const many = Array.from({ length: 40 }, (_, index) => `t${index % 30}`).join(',');
    expect(choiceFrom(new URLSearchParams({ show: many })).series).toHaveLength(TRACES_MAX);
  });

  it('knows an emptied choice from one that was never made', () => {
    expect(choiceFrom(new URLSearchParams({ show: '' })).isChosen).toBe(true);
    expect(choiceFrom(new URLSearchParams()).isChosen).toBe(false);
  });
});

describe('paneGroups', () => {
  const unitOf = (id: string) => (id.startsWith('r') ? ('1' as const) : ('kg/h' as const));

  it('gives each series a lane, or puts those of one unit together', () => {
    const series = ['r1', 'k1', 'r2'];
    expect(paneGroups(series, 'lanes', unitOf)).toEqual([['r1'], ['k1'], ['r2']]);
    expect(paneGroups(series, 'together', unitOf)).toEqual([['r1', 'r2'], ['k1']]);
  });
});

describe('preferencesFrom', () => {
  it('keeps what is a choice and falls back where it is not', () => {
    const kept = JSON.stringify({ units: { massRate: 't/h', dose: 'drops' }, theme: 'dim' });
    expect(preferencesFrom(kept)).toEqual({
      units: { massRate: 't/h', dose: 'fl oz/bu', temperature: '°F' },
      theme: 'dim',
    });
  });

  it.each([null, '', 'no json', '[]', '7', 'null', '{"units":null}'])('survives %j', (text) => {
    expect(preferencesFrom(text).theme).toBe('device');
  });
});

describe('actingPersonStore', () => {
  it('remembers the name for this tab and forgets it on request', () => {
    const kept = new Map<string, string>();
    const storage = {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
      removeItem: (key: string) => void kept.delete(key),
    };
    actingPersonStore(storage).set({ id: 'Operator 3', role: 'operator' });
    const again = actingPersonStore(storage);
    expect(again.get()).toEqual({ id: 'Operator 3', role: 'operator' });
    again.set(null);
    expect(actingPersonStore(storage).get()).toBeNull();
  });
});
