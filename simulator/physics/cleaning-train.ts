import type { MachineName } from '../tags/machine-list.ts';
import { massOf, type Parcel, type ParcelLayout } from './parcel.ts';
import { separate } from './separate.ts';
import { transportLine, type TransportLine } from './transport-line.ts';

/** The machines that take something out, and the tag that weighs what they take. */
export const SEPARATORS = [
  'Scalper',
  'AirScreen',
  'Aspirator',
  'LengthGrader',
  'Sizer',
  'Destoner',
  'GravityTable',
] as const;

export type Separator = (typeof SEPARATORS)[number];

interface Station {
  readonly machine: MachineName;
  readonly line: TransportLine;
  /** Short spout past the machine when a gate takes it out of the route. */
  readonly bypass: TransportLine;
}

export interface CleaningTrain {
  readonly stations: readonly Station[];
  /** What each machine took in the last step. */
  readonly taken: Readonly<Record<Separator, Parcel>>;
  /** What came to each machine in the last step, kg. */
  readonly feedKg: Record<Separator, number>;
  readonly spout: TransportLine;
  readonly buffers: readonly [Parcel, Parcel];
}

export interface CleaningStep {
  readonly feed: Parcel;
  readonly shares: Readonly<Record<Separator, Float64Array>>;
  readonly isOnRoute: (machine: MachineName) => boolean;
  /** How far a machine moved its seed in this step; 1 = full speed throughout. */
  readonly advance: (machine: MachineName) => number;
}

/** Seconds on the machine at full speed: [plug, mixing]. Invented; sums to about four minutes. */
const RESIDENCE_S: readonly (readonly [MachineName, number, number])[] = [
  ['Intake', 6, 4],
  ['Elevator1', 14, 5],
  ['Scalper', 4, 3],
  ['AirScreen', 12, 8],
  ['Aspirator', 3, 2],
  ['LengthGrader', 18, 10],
  ['Sizer', 8, 5],
  ['Elevator2', 14, 5],
  ['Destoner', 10, 8],
  ['GravityTable', 25, 30],
];

export function cleaningTrain(layout: ParcelLayout, stepS: number): CleaningTrain {
  const { size } = layout;
  const line = (plugS: number, mixS: number) => transportLine({ size, stepS, plugS, mixS });
  return {
    stations: RESIDENCE_S.map(([machine, plugS, mixS]) => ({
      machine,
      line: line(plugS, mixS),
      bypass: line(2, 1),
    })),
    taken: forEachSeparator(() => new Float64Array(size)),
    feedKg: forEachSeparator(() => 0),
    spout: line(8, 4),
    buffers: [new Float64Array(size), new Float64Array(size)],
  };
}

export function forEachSeparator<T>(make: (separator: Separator) => T): Record<Separator, T> {
  return Object.fromEntries(SEPARATORS.map((name) => [name, make(name)])) as Record<Separator, T>;
}

/** Moves the cleaning train on by one step; returns the clean seed that reached the clean scale. */
export function stepCleaning(train: CleaningTrain, layout: ParcelLayout, step: CleaningStep): Parcel {
  let [stream, next] = train.buffers;
  stream.set(step.feed);
  for (const station of train.stations) {
    const { machine } = station;
    next.fill(0);
    const isOnRoute = step.isOnRoute(machine);
    if (isOnRoute) station.line.pass(stream, step.advance(machine), next);
    else station.bypass.pass(stream, 1, next);
    if (isSeparator(machine)) {
      train.taken[machine].fill(0);
      train.feedKg[machine] = isOnRoute ? massOf(layout, next) : 0;
      if (isOnRoute) separate(layout, next, { shares: step.shares[machine], taken: train.taken[machine] });
    }
    [stream, next] = [next, stream];
  }
  next.fill(0);
  train.spout.pass(stream, 1, next);
  return next;
}

export function addTrainContentsTo(train: CleaningTrain, target: Parcel): void {
  for (const { line, bypass } of train.stations) {
    line.addContentsTo(target);
    bypass.addContentsTo(target);
  }
  train.spout.addContentsTo(target);
}

function isSeparator(machine: MachineName): machine is Separator & MachineName {
  return (SEPARATORS as readonly string[]).includes(machine);
}
