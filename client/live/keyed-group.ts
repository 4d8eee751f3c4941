import type { KeyedStore } from './keyed-store.ts';

/** Several keys of a store as one list, which stays the same object until one of its values changes. */
export interface KeyedGroup<Value> {
  readonly get: () => readonly (Value | undefined)[];
  readonly subscribe: (listener: () => void) => () => void;
}

export function keyedGroup<Value>(store: KeyedStore<Value>, keys: readonly string[]): KeyedGroup<Value> {
  let current: readonly (Value | undefined)[] = keys.map((key) => store.get(key));
  return {
    get() {
      if (keys.some((key, index) => !Object.is(store.get(key), current[index]))) {
        current = keys.map((key) => store.get(key));
      }
      return current;
    },
    subscribe(listener) {
      const stops = keys.map((key) => store.subscribe(key, listener));
      return () => {
        for (const stop of stops) stop();
      };
    },
  };
}
