import type { SampleBatch, SeriesDefinition, SeriesId } from '#server/ports/sample-store.ts';

/** 2026-03-02T06:00:00Z: the start of a shift, on a whole hour. */
export const START_MS = Date.UTC(2026, 2, 2, 6);

export const flow: SeriesDefinition = {
  name: 'quillmarsh.scale.massFlow',
  kind: 'tag',
  unit: 'kg/h',
  interpolation: 'linear',
  resolution: 0.1,
  heldMs: 10_000,
};

export const running: SeriesDefinition = {
  name: 'quillmarsh.scale.running',
  kind: 'tag',
  unit: 'state',
  interpolation: 'step',
  resolution: 1,
  heldMs: null,
};

/** Series, milliseconds after `START_MS`, value, and status and reason where they are not 0. */
export type SampleRow = readonly [
  series: SeriesId,
  afterMs: number,
  value: number,
  status?: number,
  reason?: number,
];

export function batchOf(sequence: number, rows: readonly SampleRow[], writer = 'line'): SampleBatch {
  return {
    writer,
    sequence,
    series: Uint32Array.from(rows, ([series]) => series),
    timeMs: Float64Array.from(rows, ([, afterMs]) => START_MS + afterMs),
    value: Float64Array.from(rows, ([, , value]) => value),
    status: Uint8Array.from(rows, ([, , , status]) => status ?? 0),
    reason: Uint8Array.from(rows, ([, , , , reason]) => reason ?? 0),
  };
}
