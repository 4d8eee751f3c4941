import type { LineFigures } from './line-figures.ts';

/** The gaps in which a mass flow is written: what comes in, what is clean, what is treated. */
export function flowGaps({ feed, clean, treated, cleanGap, treatedFrom }: LineFigures): readonly number[] {
  return [
    ...(feed === undefined ? [] : [1]),
    ...(clean === undefined ? [] : [cleanGap]),
    ...(treated === undefined || treatedFrom === null ? [] : [treatedFrom + 1]),
  ];
}
