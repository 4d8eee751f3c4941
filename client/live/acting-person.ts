import type { Actor } from '../../server/contract/records.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';

const KEY = 'sievewright.acting';
const ROLE_KEY = 'sievewright.acting-role';

/** Roles that act; a viewer does not. */
export const ACTING_ROLES = ['operator', 'maintenance', 'manager', 'engineer'] as const;

/** Who is acting at this screen; null until somebody says. Forgotten when the tab closes. */
export function actingPersonStore(
  storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>,
): SnapshotStore<Actor | null> {
  const name = storage.getItem(KEY);
  const store = snapshotStore<Actor | null>(
    name === null ? null : { id: name, role: roleNamed(storage.getItem(ROLE_KEY)) },
  );
  return {
    ...store,
    set(actor) {
      if (actor === null) {
        storage.removeItem(KEY);
        storage.removeItem(ROLE_KEY);
      } else {
        storage.setItem(KEY, actor.id);
        storage.setItem(ROLE_KEY, actor.role);
      }
      store.set(actor);
    },
  };
}

/** Operator where the name is none of a role that acts. */
export function roleNamed(name: string | null): Actor['role'] {
  return ACTING_ROLES.find((role) => role === name) ?? 'operator';
}
