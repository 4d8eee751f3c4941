import { instrument } from '../instruments/instrument.ts';
import type { DriveId } from '../logic/sequence.ts';
import type { CropName } from '../physics/crops/crop.ts';
import { CROPS } from '../physics/crops/crop-list.ts';
import { randomStream } from '../physics/random.ts';
import { wander } from '../physics/wander.ts';
import type { TagEntry } from '../tags/tag-entry.ts';
import { declineSize, type Decline } from './decline.ts';
import { drivePart, drivePartSignals, drivePartTags, turnDrive, type DrivePart } from './drive-part.ts';
import { lineDays } from './line-days.ts';
import { surroundings } from './surroundings.ts';

export interface DriveLifeOptions {
  readonly seed: number;
  /** 10 to 60 s: the slowest things here take minutes, the life takes weeks. */
  readonly stepS: number;
  readonly declines: readonly Decline[];
}

/** The drives' part of the plant with its instruments, over weeks; the same seed gives the same numbers. */
export interface DriveLife {
  readonly part: DrivePart;
  readonly drives: readonly DriveId[];
  readonly tags: readonly TagEntry[];
  /** What the instruments show, and how sure they are of it (0 good, 1 uncertain, 2 bad), in the order of the tags. */
  readonly values: Float64Array;
  readonly qualities: Uint8Array;
  timeS(): number;
  /** The line's run contact: all drives start and stop together. */
  isOn(): boolean;
  crop(): CropName;
  step(): void;
}

export function driveLife(options: DriveLifeOptions): DriveLife {
  const { seed, stepS, declines } = options;
  const part = drivePart('soybean');
  const drives = [...part.drives.keys()];
  const tags = drivePartTags(part);
  const habits = new Map(drives.map((id) => [id, habitOf(seed, id, stepS)]));
  const [days, around] = [lineDays(seed, stepS), surroundings(seed, stepS)];
  const values = new Float64Array(tags.length);
  const qualities = new Uint8Array(tags.length);
  const readAll = instrumentsOf({ part, tags, habits, seed, stepS });
  let timeS = 0;
  let isOn = false;

  return {
    part,
    drives,
    tags,
    values,
    qualities,
    timeS: () => timeS,
    isOn: () => isOn,
    crop: () => part.crop.name,
    step() {
      const wasOn = isOn;
      const line = days.next(timeS);
      ({ isOn } = line);
      part.crop = CROPS[line.crop];
      part.throughput = line.throughput;
      Object.assign(part.weather, around.next(timeS));
      pull(part, { declines, habits, timeS });
      for (const [id, habit] of habits) {
        turnDrive(part, id, { stepS, isOn, wasOn, loadFactor: habit.load(), warmerC: habit.warmth() });
      }
      readAll(values, qualities);
      timeS += stepS;
    },
  };
}

/** What is never quite the same about a healthy drive, and means nothing. */
interface Habit {
  readonly load: () => number;
  readonly warmth: () => number;
  readonly shake: () => number;
  readonly dust: () => number;
}

const HOUR_S = 3600;

function habitOf(seed: number, id: DriveId, stepS: number): Habit {
  const stray = (purpose: string, standardDeviation: number, timeConstantS: number) =>
    wander({ random: randomStream(seed, `${purpose} ${id}`), standardDeviation, timeConstantS, stepS });
  const [load, shake] = [stray('load', 0.012, 18 * HOUR_S), stray('shake', 0.04, 6 * HOUR_S)];
  const dust = stray('dust', 0.006, 12 * HOUR_S);
  return {
    load: () => 1 + load(),
    warmth: stray('warmth', 0.8, 8 * HOUR_S),
    shake: () => 1 + shake(),
    dust: () => Math.max(0, 0.02 + dust()),
  };
}

function pull(
  part: DrivePart,
  at: {
    readonly declines: readonly Decline[];
    readonly habits: ReadonlyMap<DriveId, Habit>;
    readonly timeS: number;
  },
): void {
  part.levers.release();
  for (const [target, { dust }] of at.habits) {
    if (target.endsWith('.Fan')) part.levers.pull({ kind: 'filter-loading', target, size: dust() });
  }
  for (const decline of at.declines) {
    const size = declineSize(decline, at.timeS);
    if (size !== 0) part.levers.pull({ kind: decline.lever, target: decline.target, size });
  }
}

interface Instruments {
  readonly part: DrivePart;
  readonly tags: readonly TagEntry[];
  readonly habits: ReadonlyMap<DriveId, Habit>;
  readonly seed: number;
  readonly stepS: number;
}

const WELL = { span: 0, zero: 0, frozen: 0, badStatus: 0 };

function instrumentsOf({ part, tags, habits, seed, stepS }: Instruments) {
  const signals = drivePartSignals(part);
  const meters = tags.map((entry) => {
    const truth = signals.get(entry.node) ?? (() => 0);
    const shake = entry.node.endsWith('Vibration') ? habits.get(driveOf(entry.node))?.shake : undefined;
    const seen = shake === undefined ? truth : () => truth() * shake();
    if (entry.kind === 'counter') return { read: seen, quality: () => 0 };
    const meter = instrument({ entry, seed, stepS });
    return { read: () => meter.read(seen(), WELL), quality: () => meter.quality() };
  });
  return (values: Float64Array, qualities: Uint8Array): void => {
    meters.forEach((meter, tag) => {
      values[tag] = meter.read();
      qualities[tag] = meter.quality();
    });
  };
}

/** The drive whose housing or deck an instrument sits on. */
function driveOf(node: string): DriveId {
  const [machine = '', signal = ''] = node.split('.');
  return signal.startsWith('Fan') ? `${machine}.Fan` : machine;
}
