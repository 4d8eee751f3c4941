/** Where a number of a range lies on an axis. */
export interface ChartScale {
  readonly low: number;
  readonly high: number;
  readonly at: (value: number) => number;
}

/** A scale that shows all values with a little room; one value alone lies in the middle. */
export function chartScale(values: readonly number[], fromPx: number, toPx: number): ChartScale {
  const [least, most] = extent(values);
  const room = most > least ? (most - least) * 0.06 : Math.max(1e-9, Math.abs(most) * 0.05);
  const [low, high] = [least - room, most + room];
  return { low, high, at: (value) => fromPx + ((value - low) / (high - low)) * (toPx - fromPx) };
}

function extent(values: readonly number[]): readonly [number, number] {
  let [least, most] = [Infinity, -Infinity];
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return least > most ? [0, 1] : [least, most];
}

/** Every so many, so that at most `most` are drawn; the last is always among them. */
export function thinnedIndexes(count: number, most: number): readonly number[] {
  const stride = Math.max(1, Math.ceil(count / most));
  return Array.from(
    { length: Math.ceil(count / stride) },
    (_, index) => count - 1 - index * stride,
  ).reverse();
}
