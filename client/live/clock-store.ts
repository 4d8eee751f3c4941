/** Tells its listeners every second what time it is, and costs nothing while nobody listens. */
export interface ClockStore {
  readonly get: () => number;
  readonly subscribe: (listener: () => void) => () => void;
}

const SECOND_MS = 1000;

export function clockStore(nowMs: () => number): ClockStore {
  const listeners = new Set<() => void>();
  let timer: number | undefined;
  let current = nowMs();
  const tick = () => {
    current = nowMs();
    for (const listener of listeners) listener();
  };
  return {
    get: () => current,
    subscribe(listener) {
      listeners.add(listener);
      timer ??= window.setInterval(tick, SECOND_MS);
      return () => {
        listeners.delete(listener);
        if (listeners.size > 0) return;
        window.clearInterval(timer);
        timer = undefined;
      };
    },
  };
}
