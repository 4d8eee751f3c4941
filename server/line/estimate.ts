import type { UnknownReason } from '../calc/unknown-reason.ts';
import { worstQuality } from '../calc/worst-quality.ts';
import type { Quality } from '../contract/reading.ts';

/** A value on its way to a figure, with how good it is and how much of its window readings covered. */
export interface KnownEstimate {
  readonly known: true;
  readonly value: number;
  readonly quality: Quality;
  readonly coveredRatio: number;
}
export interface UnknownEstimate {
  readonly known: false;
  readonly because: UnknownReason;
}
export type Estimate = KnownEstimate | UnknownEstimate;

export function unknownEstimate(because: UnknownReason): UnknownEstimate {
  return { known: false, because };
}

/** The worst quality and the least coverage of what a figure is computed from: it is no better than its worst input. */
export function standingOf(
  inputs: readonly KnownEstimate[],
): Pick<KnownEstimate, 'quality' | 'coveredRatio'> {
  return {
    quality: worstQuality(inputs.map(({ quality }) => quality)),
    coveredRatio: Math.min(1, ...inputs.map(({ coveredRatio }) => coveredRatio)),
  };
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
