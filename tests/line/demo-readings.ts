import type { Reading } from '#server/contract/reading.ts';

/** A good reading that arrives 50 ms after it was measured. */
export function reading(tag: string, sourceTimeMs: number, value: number | null): Reading {
  return { tag, sourceTimeMs, arrivalMs: sourceTimeMs + 50, value, quality: 'good' };
}

export function badReading(tag: string, sourceTimeMs: number): Reading {
  return { ...reading(tag, sourceTimeMs, null), quality: 'bad' };
}

/** One reading a second of a steady value, from and to included. */
export function steady(
  tag: string,
  value: number,
  span: { fromMs: number; toMs: number },
): readonly Reading[] {
  const count = Math.floor((span.toMs - span.fromMs) / 1000) + 1;
  return Array.from({ length: count }, (_, index) => reading(tag, span.fromMs + index * 1000, value));
}
