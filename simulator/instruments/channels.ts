import type { Plant } from '../plant-state.ts';
import { signalsOf } from '../signals/signals.ts';
import type { TagEntry } from '../tags/tag-entry.ts';
import { instrument, type Instrument, type InstrumentFaults, type Quality } from './instrument.ts';
import { totalOf } from './totaliser.ts';

/** What every tag shows; contacts are filled in by whoever listens to the logic. */
export interface Channels {
  readonly values: Float64Array;
  readonly qualities: Uint8Array;
  /** Reads every analog and counter once. */
  readAll(): void;
  qualityOf(tag: number): Quality;
}

interface Channel {
  readonly tag: number;
  readonly entry: TagEntry;
  readonly read: () => number;
  readonly quality: () => Quality;
}

export function openChannels(plant: Plant, tags: readonly TagEntry[]): Channels {
  const values = new Float64Array(tags.length);
  const qualities = new Uint8Array(tags.length);
  const channels = channelsOf(plant, tags);
  const isRestarting = () => plant.levers.size('plc-restart') > 0;
  const qualityOf = (tag: number): Quality => (isRestarting() ? 2 : qualityNow(qualities[tag] ?? 0));
  return {
    values,
    qualities,
    readAll() {
      const quality = isRestarting() ? 2 : 0;
      for (const channel of channels) {
        values[channel.tag] = channel.read();
        qualities[channel.tag] = Math.max(quality, channel.quality());
      }
    },
    qualityOf,
  };
}

function qualityNow(value: number): Quality {
  return value >= 2 ? 2 : value === 1 ? 1 : 0;
}

/** Totalisers come after the scales they count, whatever the order of the tags. */
function channelsOf(plant: Plant, tags: readonly TagEntry[]): Channel[] {
  const signals = signalsOf(plant);
  const stepS = plant.options.stepMs / 1000;
  const scales = new Map<string, Instrument>();
  const scaleOf = (entry: TagEntry): Instrument => {
    const known = scales.get(entry.node) ?? instrument({ entry, seed: plant.options.seed, stepS });
    scales.set(entry.node, known);
    return known;
  };
  const channels = tags.flatMap((entry, tag) => {
    const truth = signals.get(entry.node);
    if (truth === undefined) return [];
    if (entry.kind === 'counter') return [{ tag, entry, read: truth, quality: () => 0 as const }];
    const meter = scaleOf(entry);
    const faults = faultsOf(plant, entry.node);
    return [{ tag, entry, read: () => meter.read(truth(), faults()), quality: () => meter.quality() }];
  });
  const totals = tags.flatMap((entry, tag) => {
    const total = totalOf(entry.node, { plant, stepS, scales });
    return total === undefined ? [] : [{ tag, entry, read: total, quality: () => 0 as const }];
  });
  return [...channels, ...totals];
}

const WELL: InstrumentFaults = { span: 0, zero: 0, frozen: 0, badStatus: 0 };

function faultsOf({ levers }: Plant, node: string): () => InstrumentFaults {
  return () => {
    const span =
      levers.size('scale-span', node) + (node === 'Treater.SeedFlow' ? levers.size('seed-wheel-span') : 0);
    const zero = levers.size('scale-zero', node);
    const frozen = levers.size('frozen-tag', node);
    const badStatus = levers.size('bad-status', node);
    if (span === 0 && zero === 0 && frozen === 0 && badStatus === 0) return WELL;
    return { span, zero, frozen, badStatus };
  };
}
