import { describe, expect, it, vi } from 'vitest';
import { keyedGroup } from '#client/live/keyed-group.ts';
import { keyedStore } from '#client/live/keyed-store.ts';
import { liveStores, takeChanges, takeSnapshot } from '#client/live/live-stores.ts';
import { serverClock } from '#client/live/server-clock.ts';
import { snapshotStore } from '#client/live/snapshot-store.ts';
import { watchList } from '#client/live/watch-list.ts';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';
import { fakeLink, NOTHING_CHANGED } from '#tests/support/fake-records.ts';

describe('keyedStore', () => {
  it('tells only those whose key changed', () => {
    const store = keyedStore<number>();
    const [dose, yields] = [vi.fn(), vi.fn()];
    store.subscribe('dose', dose);
    store.subscribe('yield', yields);
    store.setAll([['dose', 1]]);
    expect(dose).toHaveBeenCalledTimes(1);
    expect(yields).not.toHaveBeenCalled();
  });

  it('has taken over all values before it tells anybody', () => {
    const store = keyedStore<number>();
    let seen: number | undefined;
    store.subscribe('a', () => (seen = store.get('b')));
    store.setAll([
      ['a', 1],
      ['b', 2],
    ]);
    expect(seen).toBe(2);
  });

  it('says nothing when the value is the same', () => {
    const store = keyedStore<number>();
    store.setAll([['a', 1]]);
    const listener = vi.fn();
    store.subscribe('a', listener);
    store.setAll([['a', 1]]);
    expect(listener).not.toHaveBeenCalled();
  });
});

describe('keyedGroup', () => {
  it('is the same list until one of its values changes', () => {
    const store = keyedStore<number>();
    store.setAll([['a', 1]]);
    const group = keyedGroup(store, ['a', 'b']);
    const before = group.get();
    store.setAll([['c', 9]]);
    expect(group.get()).toBe(before);
    store.setAll([['b', 2]]);
    expect(group.get()).toEqual([1, 2]);
  });
});

describe('snapshotStore', () => {
  it('tells nobody who has gone', () => {
    const store = snapshotStore(1);
    const listener = vi.fn();
    store.subscribe(listener)();
    store.set(2);
    expect(listener).not.toHaveBeenCalled();
  });
});

describe('watchList', () => {
  it('asks anew only when an id comes or goes, not when a second part shows it', () => {
    const changed = vi.fn();
    const list = watchList(changed);
    const first = list.add({ figures: ['a'] });
    const second = list.add({ figures: ['a'] });
    expect(changed).toHaveBeenCalledTimes(1);
    first();
    expect(list.figures()).toEqual(['a']);
    expect(changed).toHaveBeenCalledTimes(1);
    second();
    expect(list.figures()).toEqual([]);
    expect(changed).toHaveBeenCalledTimes(2);
  });

  it('takes a wish back once, however often it is asked to', () => {
    const list = watchList(() => undefined);
    list.add({ tags: ['t'] });
    const take = list.add({ tags: ['t'] });
    take();
    take();
    expect(list.tags()).toEqual(['t']);
  });
});

describe('takeSnapshot and takeChanges', () => {
  it('keeps the newest reading of a tag', () => {
    const stores = liveStores();
    const readings = [
      { tag: 't', timeMs: [1, 2], value: [10, 20], quality: ['good' as const, 'uncertain' as const] },
    ];
    takeChanges(stores, { ...NOTHING_CHANGED, readings });
    expect(stores.readings.get('t')).toEqual({ timeMs: 2, value: 20, quality: 'uncertain' });
  });

  it('drops an alarm that is normal again and keeps the others', () => {
    const stores = liveStores();
    takeChanges(stores, { ...NOTHING_CHANGED, alarms: [fakeAlarm('one'), fakeAlarm('two')] });
    takeChanges(stores, { ...NOTHING_CHANGED, alarms: [fakeAlarm('one', { state: 'normal' })] });
    expect(stores.alarms.get().map(({ id }) => id)).toEqual(['two']);
  });

  it('replaces all alarms by those of a snapshot', () => {
    const stores = liveStores();
    takeChanges(stores, { ...NOTHING_CHANGED, alarms: [fakeAlarm('old')] });
    const recording = { isRecording: true, sinceMs: 0, waitingCount: 0, lostCount: 0, because: null };
    const flood = { sinceMs: null, count: 0 };
    const rest = { figures: [], readings: [], links: [], lots: [], shifts: [], recording, flood };
    takeSnapshot(stores, { contractVersion: 1, timeMs: 0, alarms: [fakeAlarm('new')], ...rest });
    expect(stores.alarms.get().map(({ id }) => id)).toEqual(['new']);
  });

  it('changes one link and keeps the others', () => {
    const stores = liveStores();
    takeChanges(stores, { ...NOTHING_CHANGED, links: [fakeLink(0), fakeLink(0, { endpoint: 'bagger' })] });
    takeChanges(stores, { ...NOTHING_CHANGED, links: [fakeLink(5, { endpoint: 'bagger', state: 'lost' })] });
    expect(stores.links.get().map(({ endpoint, state }) => `${endpoint} ${state}`)).toEqual([
      'plant live',
      'bagger lost',
    ]);
  });
});

describe('serverClock', () => {
  it('shows the server’s time although the browser’s clock is an hour off', () => {
    const clock = serverClock(() => 3_600_000);
    clock.hear(0);
    expect(clock.nowMs()).toBe(0);
  });

  it('is not shaken by a message that travelled longer', () => {
    let localMs = 1000;
    const clock = serverClock(() => localMs);
    clock.hear(1000);
    localMs = 1400;
    clock.hear(1200);
    expect(clock.nowMs()).toBeCloseTo(1390, 6);
  });

  it('knows no last message before the first', () => {
    expect(serverClock(() => 5).lastHeardMs()).toBeNull();
  });
});
