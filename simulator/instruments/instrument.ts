import { randomStream } from '../physics/random.ts';
import type { TagEntry } from '../tags/tag-entry.ts';

export interface InstrumentOptions {
  readonly entry: TagEntry;
  readonly seed: number;
  readonly stepS: number;
}

/** Turns what is into what the plant's control system shows, one step at a time. */
export interface Instrument {
  read(truth: number): number;
}

/** Noise and resolution by unit: [noise as a share of range, steps in the range]. Invented, as is plausible. */
export function instrument(options: InstrumentOptions): Instrument {
  const { entry, seed } = options;
  if (entry.kind === 'counter') return { read: (truth) => truth };
  const random = randomStream(seed, `instrument ${entry.node}`);
  const isTotal = entry.node.endsWith('Total') || entry.node.endsWith('RunHours');
  const noise = isTotal ? 0 : (entry.high - entry.low) * NOISE_RATIO;
  const resolution = isTotal ? 0.1 : 10 ** (Math.ceil(Math.log10(entry.high - entry.low)) - 5);
  return {
    read(truth) {
      const stray = random.normal() * noise * (truth === 0 ? 0 : 1);
      return Math.round((truth + stray) / resolution) * resolution;
    },
  };
}

const NOISE_RATIO = 0.0004;
