/** Holds one value and tells who listens when it becomes another. Knows no React; `useSyncExternalStore` reads it. */
export interface SnapshotStore<Value> {
  readonly get: () => Value;
  readonly set: (value: Value) => void;
  readonly subscribe: (listener: () => void) => () => void;
}

/** A store to read and follow. */
export type Followed<Value> = Pick<SnapshotStore<Value>, 'get' | 'subscribe'>;

export function snapshotStore<Value>(initial: Value): SnapshotStore<Value> {
  let current = initial;
  const listeners = new Set<() => void>();
  return {
    get: () => current,
    set(value) {
      if (Object.is(value, current)) return;
      current = value;
      for (const listener of listeners) listener();
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
  };
}
