import { useCallback, useEffect, useMemo, useSyncExternalStore } from 'react';
import type { FigureMessage } from '../../server/contract/figure-message.ts';
import type { Reader } from '../../server/contract/format/quantity-text.ts';
import { thingNames, type ThingNames } from '../../server/contract/format/thing-names.ts';
import type { TimeReader } from '../../server/contract/format/time-text.ts';
import type { Lot } from '../../server/contract/records.ts';
import { useApp } from './app-context.ts';
import { keyedGroup } from './keyed-group.ts';
import type { KeyedStore } from './keyed-store.ts';
import type { Connection, LatestReading } from './live-stores.ts';
import type { Followed } from './snapshot-store.ts';
import type { Wish } from './watch-list.ts';

export function useStore<Value>(store: Followed<Value>): Value {
  return useSyncExternalStore(store.subscribe, store.get);
}

/** Asks the server for these figures and tags for as long as the part is on the screen. */
export function useWatch(wish: Wish): void {
  const { connection } = useApp();
  useEffect(() => connection.watch.add(wish), [connection, wish]);
}

export function useFigure(id: string | null): FigureMessage | undefined {
  return useKeyed(useApp().stores.figures, id);
}

export function useReading(tag: string | null): LatestReading | undefined {
  return useKeyed(useApp().stores.readings, tag);
}

/** Several figures at once, in the order asked for; the answer is the same object until one of them changes. */
export function useFigures(ids: readonly string[]): readonly (FigureMessage | undefined)[] {
  const { figures } = useApp().stores;
  const group = useMemo(() => keyedGroup(figures, ids), [figures, ids]);
  return useSyncExternalStore(group.subscribe, group.get);
}

export function useConnection(): Connection {
  return useStore(useApp().stores.connection);
}

/** The server's time, once a second. */
export function useNow(): number {
  const { seconds } = useApp();
  return useSyncExternalStore(seconds.subscribe, seconds.get);
}

export function useLot(line: string): Lot | undefined {
  const lots = useStore(useApp().stores.lots);
  return lots.find((lot) => lot.line === line && lot.endedMs === null);
}

/** The reader's units and words, with the bushel of the lot that is running. */
export function useReader(line: string): Reader {
  const { preferences, plant, texts } = useApp();
  const { units } = useStore(preferences);
  const crop = useLot(line)?.crop;
  const bushelMassKg = plant.crops.find(({ id }) => id === crop)?.bushelMassKg ?? null;
  return useMemo(() => ({ units, bushelMassKg, words: texts.format }), [units, bushelMassKg, texts]);
}

export function useTimeReader(): TimeReader {
  const { plant, texts } = useApp();
  return useMemo(() => ({ timeZone: plant.timeZone, locale: texts.format.locale }), [plant, texts]);
}

export function useNames(): ThingNames {
  const { plant, texts } = useApp();
  return useMemo(() => thingNames(plant, texts.format), [plant, texts]);
}

function useKeyed<Value>(store: KeyedStore<Value>, key: string | null): Value | undefined {
  const subscribe = useCallback(
    (listener: () => void) => (key === null ? () => undefined : store.subscribe(key, listener)),
    [store, key],
  );
  return useSyncExternalStore(subscribe, () => (key === null ? undefined : store.get(key)));
}
