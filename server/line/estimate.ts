import type { Figure } from '../calc/figure.ts';
import type { UnknownReason } from '../calc/unknown-reason.ts';
import { worstQuality } from '../calc/worst-quality.ts';
import type { Quality } from '../contract/reading.ts';

/**
 * How far one instrument, or one other cause, may have moved a value: a 95 % half-width with its sign, in the unit of
 * the value. What has the same cause moves together; different causes are independent.
 */
export interface Cause {
  readonly cause: string;
  readonly half: number;
}

/** A value on its way to a figure, with how good it is and how much of its window readings covered. */
export interface KnownEstimate {
  readonly known: true;
  readonly value: number;
  readonly quality: Quality;
  readonly coveredRatio: number;
  /** Null where the error of an instrument is not stated: nobody can say how uncertain the value is. */
  readonly causes: readonly Cause[] | null;
}
export interface UnknownEstimate {
  readonly known: false;
  readonly because: UnknownReason;
}
export type Estimate = KnownEstimate | UnknownEstimate;

export function unknownEstimate(because: UnknownReason): UnknownEstimate {
  return { known: false, because };
}

/** A number that nobody measured: by definition it is as it is. */
export function exactEstimate(value: number): KnownEstimate {
  return { known: true, value, quality: 'good', coveredRatio: 1, causes: [] };
}

/** One input of a calculation, and by how much the result moves when the input moves by one. */
export interface Part {
  readonly of: KnownEstimate;
  readonly slope: number;
}

/**
 * The outcome of a calculation, as good as its worst input.
 *
 *     half-width by cause = sum over the inputs of slope * half-width
 *
 * Source   law of propagation to first order, JCGM 100:2008, 5.1.2 and 5.2.2 (one cause is fully correlated)
 */
export function derived(figure: Figure<number>, parts: readonly Part[]): Estimate {
  if (!figure.known) return unknownEstimate(figure.because);
  return {
    known: true,
    value: figure.value,
    quality: worstQuality(parts.map(({ of }) => of.quality)),
    coveredRatio: parts.reduce((least, { of }) => Math.min(least, of.coveredRatio), 1),
    causes: causesOf(parts),
  };
}

/** The 95 % half-width of a value: independent causes together. */
export function uncertaintyOf({ causes }: KnownEstimate): number | null {
  return causes === null ? null : Math.sqrt(causes.reduce((sum, { half }) => sum + half * half, 0));
}

/** The first unknown among the inputs, or all of them known. */
export function allKnown(inputs: readonly Estimate[]): UnknownEstimate | readonly KnownEstimate[] {
  const known: KnownEstimate[] = [];
  for (const input of inputs) {
    if (!input.known) return input;
    known.push(input);
  }
  return known;
}

function causesOf(parts: readonly Part[]): readonly Cause[] | null {
  const merged: { cause: string; half: number }[] = [];
  for (const { of, slope } of parts) {
    if (of.causes === null) return null;
    for (const { cause, half } of of.causes) {
      const same = merged.find((other) => other.cause === cause);
      if (same === undefined) merged.push({ cause, half: half * slope });
      else same.half += half * slope;
    }
  }
  return merged;
}
