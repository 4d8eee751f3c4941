import { createContext, useContext } from 'react';
import type { PlantDescription } from '../../server/contract/plant-description.ts';
import type { Actor } from '../../server/contract/records.ts';
import type { Texts } from '../texts/en.ts';
import type { AlarmSound } from './alarm-sound.ts';
import type { ClockStore } from './clock-store.ts';
import type { LiveConnection } from './live-connection.ts';
import type { LiveStores } from './live-stores.ts';
import type { Preferences } from './preferences.ts';
import type { SavedView } from './saved-views.ts';
import type { ServerClock } from './server-clock.ts';
import type { SnapshotStore } from './snapshot-store.ts';

/** What every part of the page may need. Made once in `main.tsx`. */
export interface App {
  readonly plant: PlantDescription;
  readonly texts: Texts;
  readonly stores: LiveStores;
  readonly connection: LiveConnection;
  readonly clock: ServerClock;
  readonly seconds: ClockStore;
  readonly preferences: SnapshotStore<Preferences>;
  readonly acting: SnapshotStore<Actor | null>;
  readonly savedViews: SnapshotStore<readonly SavedView[]>;
  readonly sound: AlarmSound;
}

export const AppContext = createContext<App | null>(null);

export function useApp(): App {
  const app = useContext(AppContext);
  if (app === null) throw new Error('useApp outside of AppContext');
  return app;
}
