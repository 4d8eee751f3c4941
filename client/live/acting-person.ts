import type { Actor } from '../../server/contract/records.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';

const KEY = 'sievewright.acting';

/** Who is acting at this screen; null until somebody says. Forgotten when the tab closes. */
export function actingPersonStore(
  storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>,
): SnapshotStore<Actor | null> {
  const name = storage.getItem(KEY);
  const store = snapshotStore<Actor | null>(name === null ? null : operatorNamed(name));
  return {
    ...store,
    set(actor) {
      if (actor === null) storage.removeItem(KEY);
      else storage.setItem(KEY, actor.id);
      store.set(actor);
    },
  };
}

export function operatorNamed(name: string): Actor {
  return { id: name, role: 'operator' };
}
