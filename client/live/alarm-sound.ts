import type { AlarmMessage, Priority } from '../../server/contract/alarm-message.ts';
import { byPriority, isUnacknowledged } from './alarm-order.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';

/**
 * Whether this screen sounds, and whether it does now.
 *
 *     off --turned on--> quiet --an alarm asks--> sounding --silenced--> quiet until another alarm asks
 *                          ^                         |
 *                          +---- none asks any more -+          from each of them: --turned off--> off
 */
export interface SoundState {
  readonly isOn: boolean;
  /** The priority that is sounding; null while it is quiet. */
  readonly sounding: Priority | null;
  /** The browser would not let it begin. */
  readonly isBlocked: boolean;
}

export interface AlarmSound {
  readonly state: SnapshotStore<SoundState>;
  /** By a click or a key: no browser begins a sound otherwise. */
  turnOn(): void;
  turnOff(): void;
  silence(): void;
  start(): () => void;
}

/** Pulses and pitch by priority: the more urgent, the more of them and the higher. Default of this project. */
export const PULSES: Readonly<Record<Priority, { readonly count: number; readonly hertz: number }>> = {
  critical: { count: 4, hertz: 880 },
  high: { count: 3, hertz: 698 },
  medium: { count: 2, hertz: 523 },
  low: { count: 1, hertz: 392 },
};
/** From the beginning of a burst to the next. */
const REPEAT_MS = 4000;

/** Plays one burst; answers false when it was not let. */
export type PlayBurst = (priority: Priority) => Promise<boolean>;

const QUIET = { isOn: true, sounding: null, isBlocked: false };

/** Sounds while an unacknowledged alarm asks that has not been silenced. */
export function alarmSound(alarms: SnapshotStore<readonly AlarmMessage[]>, play: PlayBurst): AlarmSound {
  const state = snapshotStore<SoundState>({ isOn: false, sounding: null, isBlocked: false });
  const silenced = new Set<string>();
  let timer: number | undefined;

  function burst(): void {
    const { sounding } = state.get();
    if (sounding === null) return;
    void play(sounding).then((wasLet) => {
      if (!wasLet) state.set({ isOn: false, sounding: null, isBlocked: true });
    });
    timer = window.setTimeout(burst, REPEAT_MS);
  }

  function look(): void {
    const asking = alarms.get().filter(isUnacknowledged);
    const ids = new Set(asking.map(occurrence));
    for (const id of silenced) if (!ids.has(id)) silenced.delete(id);
    if (!state.get().isOn) return;
    const priority =
      byPriority(asking.filter((alarm) => !silenced.has(occurrence(alarm))))[0]?.priority ?? null;
    if (priority === state.get().sounding) return;
    window.clearTimeout(timer);
    state.set({ ...QUIET, sounding: priority });
    burst();
  }

  return {
    state,
    turnOn() {
      state.set(QUIET);
      look();
    },
    turnOff() {
      window.clearTimeout(timer);
      state.set({ ...QUIET, isOn: false });
    },
    silence() {
      for (const alarm of alarms.get().filter(isUnacknowledged)) silenced.add(occurrence(alarm));
      look();
    },
    start() {
      const stop = alarms.subscribe(look);
      return () => {
        stop();
        window.clearTimeout(timer);
      };
    },
  };
}

/** The same alarm that comes anew asks anew. */
function occurrence({ id, raisedMs }: AlarmMessage): string {
  return `${id} ${raisedMs}`;
}
