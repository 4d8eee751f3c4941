import type { PlantDescription } from '../../server/contract/plant-description.ts';
import type { LiveConnection } from './live-connection.ts';
import { fetchPlant } from './plant-api.ts';
import type { SnapshotStore } from './snapshot-store.ts';

const RETRY_MS = 1500;

export interface PlantFollower {
  readonly plant: SnapshotStore<PlantDescription | null>;
  /** True from the first failed attempt until the plant is known. */
  readonly hasFailed: SnapshotStore<boolean>;
  readonly connection: LiveConnection;
}

/** Asks which plant this is until the server answers, and again after a lost connection: it may come back changed. */
export function followPlant({ plant, hasFailed, connection }: PlantFollower): () => void {
  const stopped = new AbortController();
  let timer: number | undefined;
  const ask = () => {
    window.clearTimeout(timer);
    fetchPlant(stopped.signal).then(
      (found) => {
        hasFailed.set(false);
        if (JSON.stringify(found) !== JSON.stringify(plant.get())) plant.set(found);
      },
      () => {
        if (stopped.signal.aborted) return;
        hasFailed.set(true);
        timer = window.setTimeout(ask, RETRY_MS);
      },
    );
  };
  ask();
  const stop = connection.listen({ onNews: () => undefined, onHole: ask });
  return () => {
    stop();
    stopped.abort();
    window.clearTimeout(timer);
  };
}
