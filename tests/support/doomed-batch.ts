import type { SampleBatch, SeriesDefinition } from '#server/ports/sample-store.ts';

export const DOOMED_WRITER = 'doomed';
export const DOOMED_SERIES = 20;
export const DOOMED_START_MS = Date.UTC(2026, 0, 5);
/** Each batch has a sample for now and one that is three hours late, of every series. */
export const DOOMED_SAMPLES = 2 * DOOMED_SERIES;
const LATE_MS = 3 * 3_600_000;
const EVERY_MS = 1000;

export function doomedDefinitions(): readonly SeriesDefinition[] {
  return Array.from({ length: DOOMED_SERIES }, (_, i) => ({
    name: `quillmarsh.doomed.tag${i + 1}`,
    kind: 'tag',
    unit: 'kW',
    interpolation: 'linear',
    resolution: 0.01,
    heldMs: 10_000,
  }));
}

/** What the batch of a sequence holds follows from the sequence alone, so that a reader knows it too. */
export function doomedBatch(sequence: number): SampleBatch {
  const nowMs = DOOMED_START_MS + sequence * EVERY_MS;
  const index = Array.from({ length: DOOMED_SAMPLES }, (_, i) => i);
  return {
    writer: DOOMED_WRITER,
    sequence,
    series: Uint32Array.from(index, (i) => (i % DOOMED_SERIES) + 1),
    timeMs: Float64Array.from(index, (i) => (i < DOOMED_SERIES ? nowMs : nowMs - LATE_MS + 500)),
    value: Float64Array.from(index, (i) => doomedValue(sequence, i)),
    status: new Uint8Array(DOOMED_SAMPLES),
    reason: new Uint8Array(DOOMED_SAMPLES),
  };
}

/** The sequence whose batch holds a sample of this time. */
export function sequenceOf(timeMs: number): number {
  const isLate = (timeMs - DOOMED_START_MS) % EVERY_MS !== 0;
  return Math.round((timeMs - DOOMED_START_MS + (isLate ? LATE_MS - 500 : 0)) / EVERY_MS);
}

export function isRightValue(
  sequence: number,
  series: number,
  sample: { timeMs: number; value: number },
): boolean {
  const isLate = (sample.timeMs - DOOMED_START_MS) % EVERY_MS !== 0;
  return sample.value === doomedValue(sequence, series - 1 + (isLate ? DOOMED_SERIES : 0));
}

function doomedValue(sequence: number, i: number): number {
  return ((sequence * 7919 + i * 104_729) % 100_000) / 100;
}
