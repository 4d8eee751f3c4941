/**
 * Indices of the times in ascending order, of equal ones in the order they came. What comes late comes in stretches
 * that ascend by themselves, so these are merged two by two: of two stretches each time is looked at twice, not twenty
 * times as a sort of a million would.
 */
export function timeOrder(timeMs: Float64Array): Uint32Array {
  let ends = stretchEnds(timeMs);
  let from = Uint32Array.from(timeMs.keys());
  let to = new Uint32Array(timeMs.length);
  while (ends.length > 1) {
    const merged: number[] = [];
    let start = 0;
    for (let i = 0; i < ends.length; i += 2) {
      const middle = ends[i] ?? 0;
      const end = ends[i + 1] ?? middle;
      mergeStretches(timeMs, { from, to, start, middle, end });
      merged.push(end);
      start = end;
    }
    ends = merged;
    [from, to] = [to, from];
  }
  return from;
}

/** Where each ascending stretch ends. */
function stretchEnds(timeMs: Float64Array): readonly number[] {
  const ends: number[] = [];
  for (let i = 1; i < timeMs.length; i++) if ((timeMs[i] ?? 0) < (timeMs[i - 1] ?? 0)) ends.push(i);
  ends.push(timeMs.length);
  return ends;
}

interface Merge {
  readonly from: Uint32Array;
  readonly to: Uint32Array;
  /** The first stretch is `[start, middle)`, the second `[middle, end)`. */
  readonly start: number;
  readonly middle: number;
  readonly end: number;
}

function mergeStretches(timeMs: Float64Array, { from, to, start, middle, end }: Merge): void {
  let a = start;
  let b = middle;
  for (let i = start; i < end; i++) {
    const isFirst = b >= end || (a < middle && (timeMs[from[a] ?? 0] ?? 0) <= (timeMs[from[b] ?? 0] ?? 0));
    to[i] = (isFirst ? from[a++] : from[b++]) ?? 0;
  }
}
