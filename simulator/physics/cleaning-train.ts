import { CLEANING } from '../logic/sequence.ts';
import { breakSeed } from './breakage.ts';
import { COMPONENTS } from './crops/crop.ts';
import { massOf, moveShare, type Parcel } from './parcel.ts';
import type { Population } from './population.ts';
import { separate } from './separate.ts';
import { forEachSeparator, SEPARATORS, type Separator } from './separators/separator.ts';
import { transportLine, type TransportLine } from './transport-line.ts';

/** What stands in the cleaning train, in the order the seed takes. The last two turn nothing: seed falls through. */
export const STATIONS = [...CLEANING, 'Spiral', 'ColourSorter'] as const;

export type Station = (typeof STATIONS)[number];

export interface CleaningTrain {
  readonly lines: Readonly<Record<Station, TransportLine>>;
  /** Short spouts past the machines, for what a gate sends past them. */
  readonly bypasses: Readonly<Record<Station, TransportLine>>;
  readonly spout: TransportLine;
  readonly middlingsReturn: TransportLine;
  /** What each machine took in the last step, without the dust that the air carried off. */
  readonly taken: Readonly<Record<Separator, Parcel>>;
  readonly middlings: Parcel;
  /** Dust carried to the filter in the last step. */
  readonly dust: Parcel;
  /** What came to each station in the last step, kg. */
  readonly feedKg: Record<Station, number>;
  /** Dry matter that changed its component by breaking, kg in all. */
  readonly converted: Float64Array;
  readonly buffers: readonly [Parcel, Parcel];
}

export interface CleaningStep {
  readonly feed: Parcel;
  readonly shares: (separator: Separator) => Float64Array;
  readonly middlings: () => Float64Array;
  /** Share of the middlings that is fed to the table again; the rest goes with the lights. */
  readonly middlingsReturned: number;
  readonly isOnRoute: (machine: string) => boolean;
  /** How far a machine moved its seed in this step; 1 = full speed throughout. */
  readonly advance: (machine: string) => number;
  /** Share of the dust in an air stream that reaches the filter. */
  readonly dustCaught: number;
}

/** Seconds on the machine at full speed: [plug, mixing]. Invented; sums to about four minutes. */
const RESIDENCE_S: Readonly<Record<Station, readonly [number, number]>> = {
  Intake: [6, 4],
  Elevator1: [14, 5],
  Scalper: [4, 3],
  AirScreen: [12, 8],
  Aspirator: [3, 2],
  LengthGrader: [18, 10],
  Sizer: [8, 5],
  Elevator2: [14, 5],
  Destoner: [10, 8],
  GravityTable: [25, 30],
  Spiral: [5, 2],
  ColourSorter: [4, 2],
};

/** Share of whole seed that a pass through the machine breaks. Invented, as is plausible for dry seed. */
const BREAKAGE: Readonly<Partial<Record<Station, number>>> = {
  Elevator1: 0.0008,
  Elevator2: 0.0008,
  LengthGrader: 0.0003,
  Sizer: 0.0002,
};

const WITH_AIR: readonly string[] = ['AirScreen', 'Aspirator', 'Destoner', 'GravityTable'];
const DUST = COMPONENTS.indexOf('dust');

export function cleaningTrain(size: number, stepS: number): CleaningTrain {
  const line = (plugS: number, mixS: number) => transportLine({ size, stepS, plugS, mixS });
  const parcel = () => new Float64Array(size);
  return {
    lines: forEachStation((station) => line(...RESIDENCE_S[station])),
    bypasses: forEachStation(() => line(2, 1)),
    spout: line(8, 4),
    middlingsReturn: line(12, 4),
    taken: forEachSeparator(parcel),
    middlings: parcel(),
    dust: parcel(),
    feedKg: forEachStation(() => 0),
    converted: new Float64Array(COMPONENTS.length),
    buffers: [parcel(), parcel()],
  };
}

/** Moves the cleaning train on by one step; returns the clean seed that reached the clean scale. */
export function stepCleaning(train: CleaningTrain, population: Population, step: CleaningStep): Parcel {
  let [stream, next] = train.buffers;
  stream.set(step.feed);
  train.dust.fill(0);
  for (const station of STATIONS) {
    next.fill(0);
    if (step.isOnRoute(station)) {
      train.lines[station].pass(stream, turning(station, step), next);
      workOn(train, population, { station, stream: next, step });
    } else {
      train.feedKg[station] = 0;
      if (isSeparator(station)) train.taken[station].fill(0);
    }
    // Whatever still lies in the bypass comes along, also when the gate has just been turned.
    train.bypasses[station].pass(step.isOnRoute(station) ? nothing(next.length) : stream, 1, next);
    [stream, next] = [next, stream];
  }
  next.fill(0);
  train.spout.pass(stream, 1, next);
  return next;
}

export function addTrainContentsTo(train: CleaningTrain, target: Parcel): void {
  for (const station of STATIONS) {
    train.lines[station].addContentsTo(target);
    train.bypasses[station].addContentsTo(target);
  }
  train.spout.addContentsTo(target);
  train.middlingsReturn.addContentsTo(target);
}

interface Work {
  readonly station: Station;
  readonly stream: Parcel;
  readonly step: CleaningStep;
}

function workOn(train: CleaningTrain, population: Population, { station, stream, step }: Work): void {
  const { layout } = population;
  if (station === 'GravityTable') train.middlingsReturn.pass(train.middlings, 1, stream);
  train.feedKg[station] = massOf(layout, stream);
  const breakage = BREAKAGE[station];
  if (breakage !== undefined) breakSeed(population, stream, { share: breakage, converted: train.converted });
  if (!isSeparator(station)) return;
  const taken = train.taken[station];
  taken.fill(0);
  separate(layout, stream, { shares: step.shares(station), taken });
  if (WITH_AIR.includes(station)) catchDust(train, population, { taken, share: step.dustCaught });
  if (station !== 'GravityTable') return;
  train.middlings.fill(0);
  separate(layout, stream, { shares: step.middlings(), taken: train.middlings });
  if (step.middlingsReturned < 1) moveShare(train.middlings, taken, 1 - step.middlingsReturned);
}

function catchDust(
  train: CleaningTrain,
  { layout }: Population,
  { taken, share }: { readonly taken: Parcel; readonly share: number },
): void {
  const move = (i: number) => {
    const caught = (taken[i] ?? 0) * share;
    taken[i] = (taken[i] ?? 0) - caught;
    train.dust[i] = (train.dust[i] ?? 0) + caught;
  };
  for (let i = layout.cellStarts[DUST] ?? 0; i < (layout.cellStarts[DUST + 1] ?? 0); i += 1) move(i);
  move(layout.waterAt + DUST);
}

/** Machines without a drive of their own let the seed fall through. */
function turning(station: Station, step: CleaningStep): number {
  return station === 'Spiral' || station === 'ColourSorter' ? 1 : step.advance(station);
}

function isSeparator(station: Station): station is Separator & Station {
  return (SEPARATORS as readonly string[]).includes(station);
}

function forEachStation<T>(make: (station: Station) => T): Record<Station, T> {
  return Object.fromEntries(STATIONS.map((name) => [name, make(name)])) as Record<Station, T>;
}

const empties = new Map<number, Parcel>();

/** An empty parcel of a size; never written to. */
function nothing(size: number): Parcel {
  const known = empties.get(size) ?? new Float64Array(size);
  empties.set(size, known);
  return known;
}
