import { useEffect, useState } from 'react';
import { actingPersonStore } from './live/acting-person.ts';
import { alarmSound } from './live/alarm-sound.ts';
import { AppContext, type App } from './live/app-context.ts';
import { browserStorage } from './live/browser-storage.ts';
import { clockStore } from './live/clock-store.ts';
import { liveConnection } from './live/live-connection.ts';
import { liveStores } from './live/live-stores.ts';
import { followPlant } from './live/follow-plant.ts';
import { burstPlayer } from './live/play-burst.ts';
import { preferencesStore } from './live/preferences.ts';
import { savedViewsStore } from './live/saved-views.ts';
import { serverClock } from './live/server-clock.ts';
import { snapshotStore } from './live/snapshot-store.ts';
import { useStore } from './live/use-live.ts';
import type { PlantDescription } from '../server/contract/plant-description.ts';
import { Opening } from './parts/opening.tsx';
import { Shell } from './parts/shell.tsx';
import { en } from './texts/en.ts';

/** The whole page: it opens when the server has said which plant this is. */
export function Page() {
  const [parts] = useState(makeParts);
  const { plantStore, failure } = parts;
  useEffect(() => parts.start(), [parts]);
  const plant = useStore(plantStore);
  const hasFailed = useStore(failure);
  if (plant === null) return <Opening texts={en} hasFailed={hasFailed} />;
  return (
    <AppContext value={{ ...parts.app, plant }}>
      <Shell />
    </AppContext>
  );
}

function makeParts() {
  const stores = liveStores();
  const clock = serverClock(() => Date.now());
  const connection = liveConnection(stores, clock);
  const plantStore = snapshotStore<PlantDescription | null>(null);
  const failure = snapshotStore(false);
  const app: Omit<App, 'plant'> = {
    texts: en,
    stores,
    connection,
    clock,
    seconds: clockStore(() => clock.nowMs()),
    preferences: preferencesStore(browserStorage(() => window.localStorage)),
    acting: actingPersonStore(browserStorage(() => window.sessionStorage)),
    savedViews: savedViewsStore(browserStorage(() => window.localStorage)),
    sound: alarmSound(stores.alarms, burstPlayer()),
  };
  const start = () => {
    const stopSound = app.sound.start();
    const stopPlant = followPlant({ plant: plantStore, hasFailed: failure, connection });
    return () => {
      stopSound();
      stopPlant();
    };
  };
  return { app, plantStore, failure, start };
}
