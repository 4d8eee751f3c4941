import type { Controls } from './face/control-server.ts';
import type { Face } from './face/opcua-face.ts';
import { SimulatorFault } from './fault.ts';
import type { ContactChange } from './logic/line-logic.ts';
import { contactsUntil, stepOnce, type SimReading, type SimulatedPlant } from './simulated-plant.ts';
import type { Truth } from './truth/truth.ts';
import type { Upset } from './upsets/upset.ts';
import { beginUpset, endUpset } from './upsets/upset-player.ts';

/** The plant tied to the wall clock and shown on the OPC UA face. */
export interface LivePlant {
  readonly sim: SimulatedPlant;
  readonly face: Face;
  readonly upsets: ReadonlyMap<string, Upset>;
  readonly speed: number;
  /** Wall time at which simulated time is zero, and at which the plant went live. */
  readonly zeroMs: number;
  readonly liveFromMs: number;
  readonly now: () => number;
  /** Called with the truth of every full second. */
  readonly onTruth: ((truth: Truth) => void) | undefined;
  /** Contacts last shown with a status that is not good. */
  readonly doubtful: Set<number>;
}

const SECOND_MS = 1000;

/** Steps up to now for the history alone, honestly stamped, then shows the present. */
export function catchUp(live: LivePlant): void {
  showAll(live, live.sim.readings(), { isLive: false, isRecorded: true });
  while (live.sim.timeMs() + live.sim.stepMs <= simulatedMs(live)) stepAndShow(live, false);
  showAll(live, live.sim.readings(), { isLive: true, isRecorded: false });
}

/** Brings the plant up to now; called often, it shows contacts at once. */
export function keepUp(live: LivePlant): void {
  while (live.sim.timeMs() + live.sim.stepMs <= simulatedMs(live)) stepAndShow(live, true);
  showContacts(live, contactsUntil(live.sim, simulatedMs(live)), true);
}

/** What the control page may do: play upsets, and nothing else. */
export function controlsOf(live: LivePlant): Controls {
  return {
    list: () =>
      [...live.upsets.values()].map(({ name, title, about }) => ({
        name,
        title,
        about,
        isPlaying: live.sim.player.playing.some((play) => play.upset.name === name),
      })),
    begin: (name) => beginUpset(live.sim.player, upsetNamed(live.upsets, name), simulatedMs(live)),
    end: (name) => endUpset(live.sim.player, upsetNamed(live.upsets, name).name, simulatedMs(live)),
  };
}

export function upsetNamed(upsets: ReadonlyMap<string, Upset>, name: string): Upset {
  const upset = upsets.get(name);
  if (upset !== undefined) return upset;
  throw new SimulatorFault({
    code: 'SIM_UPSET_NAME',
    subject: 'upset',
    got: name,
    expected: `one of ${[...upsets.keys()].join(', ')}`,
    remedy: 'nothing was changed',
  });
}

/** Simulated time now: true until the plant went live, then `speed` times as fast. */
function simulatedMs(live: LivePlant): number {
  return live.liveFromMs - live.zeroMs + (live.now() - live.liveFromMs) * live.speed;
}

function stepAndShow(live: LivePlant, isLive: boolean): void {
  showContacts(live, stepOnce(live.sim), isLive);
  const isSecond = live.sim.timeMs() % SECOND_MS === 0;
  if (isSecond) live.onTruth?.(live.sim.truth());
  const { channels, tags } = live.sim;
  const timeMs = live.zeroMs + live.sim.timeMs() + live.sim.skewMs();
  tags.forEach((entry, tag) => {
    const quality = channels.qualityOf(tag);
    // A contact is shown when it changes, and when the controller cannot vouch for it.
    if (entry.kind === 'contact' && quality === 0 && !live.doubtful.has(tag)) return;
    live.face.publish(tag, {
      value: channels.values[tag] ?? 0,
      quality,
      timeMs,
      isLive,
      isRecorded: isSecond,
    });
    if (quality === 0) live.doubtful.delete(tag);
    else live.doubtful.add(tag);
  });
}

function showContacts(live: LivePlant, changes: readonly ContactChange[], isLive: boolean): void {
  for (const { node, value, timeMs } of changes) {
    const tag = live.sim.tagOf.get(node) ?? -1;
    live.face.publish(tag, {
      value: Number(value),
      quality: live.sim.channels.qualityOf(tag),
      timeMs: live.zeroMs + timeMs + live.sim.skewMs(),
      isLive,
      isRecorded: true,
    });
  }
}

function showAll(
  live: LivePlant,
  readings: readonly SimReading[],
  where: { readonly isLive: boolean; readonly isRecorded: boolean },
): void {
  readings.forEach(({ value, quality, timeMs }, tag) => {
    live.face.publish(tag, { value, quality, timeMs: live.zeroMs + timeMs, ...where });
  });
}
