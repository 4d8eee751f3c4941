import type { Lot, Shift } from '../../../server/contract/records.ts';

/** A shift or lot whose hours can be laid under, aligned by its start. */
export interface UnderOffer {
  readonly name: string;
  readonly startedMs: number;
  readonly shiftMs: number;
}

interface Started {
  readonly startedMs: number;
}

const OFFERS_MAX = 8;

/**
 * Shifts and lots that began before the one that is looked at, newest first. Each lies under it with the starts of
 * both at the same place.
 */
export function underOffers(
  kept: { readonly shifts: readonly Shift[]; readonly lots: readonly Lot[] },
  line: string,
  atMs: number,
): { readonly shifts: readonly UnderOffer[]; readonly lots: readonly UnderOffer[] } {
  const here = <Kept extends { readonly line: string }>(all: readonly Kept[]) =>
    all.filter((one) => one.line === line);
  return {
    shifts: offersFrom(here(kept.shifts), ({ name }) => name, atMs),
    lots: offersFrom(here(kept.lots), ({ number }) => number, atMs),
  };
}

function offersFrom<Kept extends Started>(
  kept: readonly Kept[],
  nameOf: (one: Kept) => string,
  atMs: number,
): readonly UnderOffer[] {
  const begun = kept
    .filter(({ startedMs }) => startedMs <= atMs)
    .toSorted((one, other) => other.startedMs - one.startedMs);
  const [looked, ...before] = begun;
  if (looked === undefined) return [];
  return before.slice(0, OFFERS_MAX).map((one) => ({
    name: nameOf(one),
    startedMs: one.startedMs,
    shiftMs: looked.startedMs - one.startedMs,
  }));
}
