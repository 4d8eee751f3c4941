import type { AlarmTransition } from '../../server/contract/alarm-message.ts';
import type { LiveSources } from './trend-source.ts';
import { fetchJournal } from './plant-api.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';

export interface JournalState {
  /** Newest first. */
  readonly entries: readonly AlarmTransition[];
  readonly isLoading: boolean;
  readonly hasFailed: boolean;
}

export interface JournalSource {
  readonly state: SnapshotStore<JournalState>;
  start(): () => void;
  /** Reads again, as after a failure. */
  read(): void;
}

/** A change of an alarm is in the journal a moment after it is on the screen; a flood is read once. */
const SETTLE_MS = 800;

/** The alarm journal of the last `spanMs`, read again whenever an alarm changes. */
export function journalSource({ stores, connection, clock }: LiveSources, spanMs: number): JournalSource {
  const state = snapshotStore<JournalState>({ entries: [], isLoading: true, hasFailed: false });
  let reading = new AbortController();
  let settling: number | undefined;

  function read() {
    reading.abort();
    reading = new AbortController();
    const { signal } = reading;
    const nowMs = clock.nowMs();
    state.set({ ...state.get(), isLoading: true });
    fetchJournal(nowMs - spanMs, nowMs + 1, signal).then(
      (found) => {
        const entries = found.toSorted((one, other) => other.timeMs - one.timeMs);
        state.set({ entries, isLoading: false, hasFailed: false });
      },
      () => {
        if (!signal.aborted) state.set({ ...state.get(), isLoading: false, hasFailed: true });
      },
    );
  }

  function settle() {
    window.clearTimeout(settling);
    settling = window.setTimeout(read, SETTLE_MS);
  }

  return {
    state,
    read,
    start() {
      const stopAlarms = stores.alarms.subscribe(settle);
      const stopHoles = connection.listen({ onNews: () => undefined, onHole: read });
      read();
      return () => {
        stopAlarms();
        stopHoles();
        reading.abort();
        window.clearTimeout(settling);
      };
    },
  };
}
