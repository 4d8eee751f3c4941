import type { Quality, Reading } from '../contract/reading.ts';
import type { TagAddress } from '../ports/tag-source.ts';
import { scalarNumber, type VariantLike } from './scalar-number.ts';

/** What is needed of the library's data value, named here so that this file loads nothing. */
export interface DataValueLike {
  readonly value: VariantLike | null | undefined;
  readonly statusCode: { readonly value: number };
  readonly sourceTimestamp: Date | null | undefined;
  readonly serverTimestamp: Date | null | undefined;
}

/** When a value came. */
export interface Arrival {
  readonly arrivalMs: number;
  /** Plant clock less ours; 0 until measured. */
  readonly clockOffsetMs: number;
}

/** The top two bits of a status (OPC UA Part 4, 7.39.1); the fourth is reserved, so nothing to rely on. */
const QUALITY_BY_SEVERITY: readonly Quality[] = ['good', 'uncertain', 'bad', 'bad'];

/**
 * The one place where OPC UA's words become ours. Only the severity bits count: a queue overflow sets further
 * bits (0x480) on a value that is still good. A value that is not a finite number is bad, whatever its status.
 */
export function toReading(
  change: DataValueLike,
  { tag, factor }: Pick<TagAddress, 'tag' | 'factor'>,
  { arrivalMs, clockOffsetMs }: Arrival,
): Reading {
  const sourceTimeMs = sourceTime(change) ?? arrivalMs + clockOffsetMs;
  const severity = QUALITY_BY_SEVERITY[change.statusCode.value >>> 30] ?? 'bad';
  const value = severity === 'bad' ? null : scaled(change.value, factor);
  return { tag, sourceTimeMs, arrivalMs, value, quality: value === null ? 'bad' : severity };
}

/**
 * When the plant measured the value: its source time; where a server leaves that out, the time at which the
 * server handed it over; null where it says neither, and then its arrival, by the plant's clock, has to do.
 */
export function sourceTime(change: DataValueLike): number | null {
  return instant(change.sourceTimestamp) ?? instant(change.serverTimestamp);
}

/** Some servers write an absent time as the standard's zero, the year 1601. */
export function instant(timestamp: Date | null | undefined): number | null {
  const timeMs = timestamp?.getTime() ?? 0;
  return timeMs > 0 ? timeMs : null;
}

function scaled(variant: VariantLike | null | undefined, factor: number | null): number | null {
  const raw = variant ? scalarNumber(variant) : null;
  if (raw === null || factor === null) return raw;
  const value = raw * factor;
  return Number.isFinite(value) ? value : null;
}
