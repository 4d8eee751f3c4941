import { randomStream } from '../physics/random.ts';
import type { TagEntry } from '../tags/tag-entry.ts';
import { instrumentKind } from './instrument-kind.ts';

/** Status as OPC UA counts severity: 0 good, 1 uncertain, 2 bad. */
export type Quality = 0 | 1 | 2;

export interface InstrumentOptions {
  readonly entry: TagEntry;
  readonly seed: number;
  readonly stepS: number;
}

/** What upsets do to an instrument; all 0 when it is well. */
export interface InstrumentFaults {
  /** Span error as a share of the reading, zero error in the tag's own unit. */
  readonly span: number;
  readonly zero: number;
  /** Above 0: keeps showing its last value. */
  readonly frozen: number;
  /** 1 uncertain, 2 bad. */
  readonly badStatus: number;
}

/** Turns what is into what the plant's control system shows, one step at a time. */
export interface Instrument {
  read(truth: number, faults: InstrumentFaults): number;
  quality(): Quality;
  /** What the last reading would be without scatter and rounding: what a scale adds to its totaliser. */
  indicated(): number;
}

export function instrument(options: InstrumentOptions): Instrument {
  const { entry, seed, stepS } = options;
  const kind = instrumentKind(entry);
  const random = randomStream(seed, `instrument ${entry.node}`);
  const fixedSpan = 1 + kind.spanRatio * random.normal();
  const follow = kind.lagS === 0 ? 1 : 1 - Math.exp(-stepS / kind.lagS);
  const delay = deadTime(Math.round(kind.deadS / stepS));
  const lapses = randomLapses(seed, entry, stepS);
  let damped: number | undefined;
  let indicated = 0;
  let shown = 0;
  let quality: Quality = 0;

  return {
    read(truth, faults) {
      const seen = delay(truth);
      damped = damped === undefined ? seen : damped + (seen - damped) * follow;
      const scatter = random.normal() * (kind.noise + kind.noiseRatio * Math.abs(damped));
      indicated = damped * fixedSpan * (1 + faults.span) + faults.zero;
      quality = worst(lapses(), faults.badStatus);
      if (faults.frozen > 0) return shown;
      // A stopped line shows a plain zero: scales and meters cut off what is too small to be flow.
      const isStill = Math.abs(seen) < 1e-9 && Math.abs(indicated) < kind.noise * 3 + kind.resolution;
      shown = isStill ? 0 : rounded(indicated + scatter, kind.resolution);
      return shown;
    },
    quality: () => quality,
    indicated: () => indicated,
  };
}

function rounded(value: number, resolution: number): number {
  return Math.round(value / resolution) * resolution;
}

/** Hands on values a number of steps late. */
function deadTime(steps: number): (value: number) => number {
  if (steps <= 0) return (value) => value;
  const waiting: number[] = [];
  return (value) => {
    waiting.push(value);
    return waiting.length > steps ? (waiting.shift() ?? value) : (waiting[0] ?? value);
  };
}

const HOURS_BETWEEN_LAPSES = 120;
const LAPSE_S = 4;

/** Now and then an instrument says for some seconds that it is not sure of itself. */
function randomLapses(seed: number, entry: TagEntry, stepS: number): () => Quality {
  const random = randomStream(seed, `lapses ${entry.node}`);
  const perStep = stepS / 3600 / HOURS_BETWEEN_LAPSES;
  let leftS = 0;
  return () => {
    leftS = random.uniform() < perStep ? LAPSE_S : leftS - stepS;
    return leftS > 0 ? 1 : 0;
  };
}

function worst(lapse: Quality, badStatus: number): Quality {
  if (badStatus >= 2) return 2;
  return badStatus > 0 ? 1 : lapse;
}
