import type { SampleColumns } from '../ports/sample-store.ts';

/** Bytes of one sample in a packed batch: two doubles, a series number, status, reason. */
export const PACKED_BYTES = 8 + 8 + 4 + 1 + 1;

/**
 * Columns one after the other in one buffer: times, values, series, statuses, reasons. The buffer is handed to
 * the worker, not copied again, and is what the journal keeps.
 */
export function packedBatch(columns: SampleColumns): ArrayBuffer {
  const length = columns.timeMs.length;
  const buffer = new ArrayBuffer(length * PACKED_BYTES);
  const views = unpackedBatch(buffer);
  views.timeMs.set(columns.timeMs);
  views.value.set(columns.value);
  views.series.set(columns.series);
  views.status.set(columns.status);
  views.reason.set(columns.reason);
  return buffer;
}

/** Views into the buffer, not copies. */
export function unpackedBatch(buffer: ArrayBuffer): SampleColumns {
  const length = buffer.byteLength / PACKED_BYTES;
  return {
    timeMs: new Float64Array(buffer, 0, length),
    value: new Float64Array(buffer, 8 * length, length),
    series: new Uint32Array(buffer, 16 * length, length),
    status: new Uint8Array(buffer, 20 * length, length),
    reason: new Uint8Array(buffer, 21 * length, length),
  };
}
