/** A browser may forbid storage (private windows, policies). Choices then last as long as the page. */
export function browserStorage(open: () => Storage): Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> {
  try {
    const storage = open();
    storage.getItem('');
    return forgiving(storage);
  } catch {
    return inMemory();
  }
}

function forgiving(storage: Storage): Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> {
  return {
    getItem: (key) => storage.getItem(key),
    removeItem: (key) => storage.removeItem(key),
    setItem(key, value) {
      try {
        storage.setItem(key, value);
      } catch {
        return; // Full or forbidden: the choice holds for this page, which is all that can be done.
      }
    },
  };
}

function inMemory(): Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> {
  const kept = new Map<string, string>();
  return {
    getItem: (key) => kept.get(key) ?? null,
    setItem: (key, value) => void kept.set(key, value),
    removeItem: (key) => void kept.delete(key),
  };
}
