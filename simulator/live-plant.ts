import type { Controls } from './face/control-server.ts';
import type { Face } from './face/opcua-face.ts';
import { SimulatorFault } from './fault.ts';
import type { ContactChange } from './logic/line-logic.ts';
import type { SimulatedPlant } from './simulated-plant.ts';
import type { Upset } from './upsets/upset-file.ts';

export interface LivePlantOptions {
  readonly sim: SimulatedPlant;
  readonly face: Face;
  readonly upsets: ReadonlyMap<string, Upset>;
  readonly stepMs: number;
  readonly speed: number;
  /** Wall time at which the simulated time is zero. */
  readonly zeroMs: number;
  readonly now: () => number;
}

export interface LivePlant {
  /** Brings the plant up to now; call it often, contacts are shown at once. */
  keepUp(): void;
  /** Steps up to now for the history alone, then shows the present. */
  catchUp(): void;
  readonly controls: Controls;
}

const RECORD_EVERY_MS = 1000;

/** Ties simulated time to the wall clock and shows every step on the OPC UA face. */
export function livePlant(options: LivePlantOptions): LivePlant {
  const { sim, face, upsets, stepMs, now } = options;
  const liveFromMs = now();
  const tagOf = new Map(sim.tags.map((entry, i) => [entry.node, i] as const));

  /** Simulated time now: true until the plant went live, then `speed` times as fast. */
  function simulatedMs(): number {
    return liveFromMs - options.zeroMs + (now() - liveFromMs) * options.speed;
  }

  function showContacts(changes: readonly ContactChange[], isLive: boolean): void {
    for (const { node, value, timeMs } of changes) {
      const at = options.zeroMs + timeMs;
      face.publish(tagOf.get(node) ?? -1, {
        value: value ? 1 : 0,
        quality: 0,
        timeMs: at,
        isLive,
        isRecorded: true,
      });
    }
  }

  function showAll(isLive: boolean, withContacts: boolean): void {
    const at = options.zeroMs + sim.timeMs();
    const isRecorded = sim.timeMs() % RECORD_EVERY_MS === 0;
    sim.tags.forEach((entry, i) => {
      if (entry.kind === 'contact' && !withContacts) return;
      face.publish(i, { value: sim.values[i] ?? 0, quality: 0, timeMs: at, isLive, isRecorded });
    });
  }

  function upsetNamed(name: string): Upset {
    const upset = upsets.get(name);
    if (upset !== undefined) return upset;
    throw new SimulatorFault({
      code: 'SIM_UPSET_NAME',
      subject: 'upset',
      got: name,
      expected: [...upsets.keys()].join(', '),
      remedy: 'nothing was changed',
    });
  }

  return {
    catchUp() {
      showAll(false, true);
      while (sim.timeMs() + stepMs <= simulatedMs()) {
        showContacts(sim.step(), false);
        showAll(false, false);
      }
      showAll(true, true);
    },
    keepUp() {
      while (sim.timeMs() + stepMs <= simulatedMs()) {
        showContacts(sim.step(), true);
        showAll(true, false);
      }
      showContacts(sim.contactsUntil(simulatedMs()), true);
    },
    controls: {
      list: () =>
        [...upsets.values()].map(({ name, title }) => ({
          name,
          title,
          isPlaying: sim.upsets.playing().some((play) => play.name === name),
        })),
      begin(name) {
        sim.upsets.begin(upsetNamed(name), simulatedMs());
      },
      end(name) {
        sim.upsets.end(upsetNamed(name).name, simulatedMs());
      },
    },
  };
}
