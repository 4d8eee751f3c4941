import { expect } from 'vitest';
import type { PairRun } from '#tests/simulator/pair-run.ts';

const LINE = [
  ...[
    'Intake',
    'Elevator1',
    'Scalper',
    'AirScreen',
    'Aspirator',
    'LengthGrader',
    'Sizer',
    'Elevator2',
    'Destoner',
  ],
  ...[
    'GravityTable',
    'Spiral',
    'ColourSorter',
    'Clean',
    'CleanBin',
    'Elevator3',
    'Treater',
    'Dryer',
    'Bagger',
  ],
];
/** What seed alone cannot move: fans, settings, switches, counters of hours and starts, belts and decks. */
const NOT_SEED =
  /Fan|AirGate|Screen$|Tilt|Angle|FeedGate|RunHours|Starts|Running|Bypassed|Plugged|SpeedOk|Belt|Deck|Shoe|Cylinder|Diverted|AirTemp|Pump.(Motor|Speed)|(Feed|Bag|Temperature)Set$/;
export const SETTING = /AirGate|Screen$|Tilt|Angle|FeedGate/;

/** Whether a tag can change because other seed, or more or less of it, comes past from `machine` on. */
export const seedFrom = (machine: string) => (node: string) =>
  LINE.indexOf(node.split('.')[0] ?? '') >= LINE.indexOf(machine) && !NOT_SEED.test(node);
/** Whether a tag can change because machines from one to another stop or start, and less seed goes on from there. */
export const stopsFrom = (machine: string) => (node: string) =>
  LINE.indexOf(node.split('.')[0] ?? '') >= LINE.indexOf(machine) && !SETTING.test(node) && !/Fan/.test(node);
export const matching = (pattern: RegExp) => (node: string) => pattern.test(node);
export const either =
  (...rules: readonly ((node: string) => boolean)[]) =>
  (node: string) =>
    rules.some((rule) => rule(node));

export interface Expected {
  readonly upset: string;
  readonly seconds: number;
  readonly crop?: 'wheat';
  /** The only tags that may differ from the run without the upset. */
  readonly mayTouch: (node: string) => boolean;
  readonly shows: (run: PairRun) => void;
}

export function expectRatio(run: PairRun, node: string, [low, high]: readonly [number, number]): void {
  const { with: here, without } = run.of(node);
  expect(here / without, node).toBeGreaterThan(low);
  expect(here / without, node).toBeLessThan(high);
}
