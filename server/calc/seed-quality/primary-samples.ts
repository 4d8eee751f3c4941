import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import type { Kilograms } from '../units.ts';

interface Intensity {
  /** The last number of containers, or kilograms, that this row is for. */
  readonly upTo: number;
  readonly samples: (size: number) => number;
}

const OF_CONTAINERS: readonly Intensity[] = [
  { upTo: 4, samples: (containers) => 3 * containers },
  { upTo: 8, samples: (containers) => 2 * containers },
  { upTo: 15, samples: (containers) => containers },
  { upTo: 30, samples: () => 15 },
  { upTo: 59, samples: () => 20 },
  { upTo: Infinity, samples: () => 30 },
];

const OF_BULK: readonly Intensity[] = [
  { upTo: 500, samples: () => 5 },
  { upTo: 3000, samples: (kg) => Math.max(5, Math.ceil(kg / 300)) },
  { upTo: 20_000, samples: (kg) => Math.max(10, Math.ceil(kg / 500)) },
  { upTo: Infinity, samples: (kg) => Math.max(40, Math.ceil(kg / 700)) },
];

/**
 * How many primary samples a lot in bags needs.
 *
 *     1-4: 3 from each;  5-8: 2 from each;  9-15: 1 from each;  16-30: 15;  31-59: 20;  60 and more: 30
 *
 * Shape    the number of containers of 15 to 100 kg in, a number of samples out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError when there is no container.
 * Source   UK Statutory Instrument 2005/328, Schedule 5, paragraph 6; the same as ISTA Rules, table 2B.
 *
 * @example 12 bags need 12 samples, 45 bags 20, 3 bags 9
 */
export function primarySamplesOfContainers(containers: number): number {
  expectPositive('primarySamplesOfContainers.containers [1]', containers);
  return samplesFor(containers, OF_CONTAINERS);
}

/**
 * How many primary samples a lot in bulk, in a stream, or in containers above 100 kg needs.
 *
 *     up to 500 kg: 5;  to 3000: 1 for 300 kg, at least 5;  to 20000: 1 for 500 kg, at least 10;
 *     above: 1 for 700 kg, at least 40
 *
 * Shape    the mass of the lot in, a number of samples out.
 * Units    kg -> 1
 * Unknown  none
 * Throws   RangeError when the mass is negative.
 * Source   ISTA Rules, table 2A, from memory and as a public calculator gives it.
 *
 * @example 10000 kg need 20 samples
 */
export function primarySamplesOfBulk(mass: Kilograms): number {
  expectNotNegative('primarySamplesOfBulk.mass [kg]', mass);
  return samplesFor(mass, OF_BULK);
}

function samplesFor(size: number, rows: readonly Intensity[]): number {
  return rows.find(({ upTo }) => size <= upTo)?.samples(size) ?? 0;
}
