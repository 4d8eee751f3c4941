/**
 * Many values by key. A listener hears only of its own key, so that a tick with three hundred figures re-renders
 * the few cells whose figure changed.
 */
export interface KeyedStore<Value> {
  get(key: string): Value | undefined;
  /** Takes over all entries first and tells afterwards, so that nobody sees half a tick. */
  setAll(entries: Iterable<readonly [string, Value]>): void;
  subscribe(key: string, listener: () => void): () => void;
}

export function keyedStore<Value>(): KeyedStore<Value> {
  const values = new Map<string, Value>();
  const listeners = new Map<string, Set<() => void>>();
  return {
    get: (key) => values.get(key),
    setAll(entries) {
      const changed: string[] = [];
      for (const [key, value] of entries) {
        if (Object.is(values.get(key), value)) continue;
        values.set(key, value);
        changed.push(key);
      }
      for (const key of changed) for (const listener of listeners.get(key) ?? []) listener();
    },
    subscribe(key, listener) {
      const known = listeners.get(key) ?? new Set();
      listeners.set(key, known.add(listener));
      return () => {
        known.delete(listener);
        if (known.size === 0) listeners.delete(key);
      };
    },
  };
}
