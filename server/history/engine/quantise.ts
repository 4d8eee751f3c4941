/**
 * The multiple of `resolution` next to the value; 0 keeps every digit. Where the resolution is a part of one
 * (0.1, 0.25) the value is multiplied by how many make one, which gives the double nearest to the decimal.
 */
export function quantised(value: number, resolution: number): number {
  if (resolution === 0) return value;
  const perOne = Math.round(1 / resolution);
  const isPartOfOne = perOne >= 1 && Math.abs(perOne * resolution - 1) < 1e-9;
  const rounded = isPartOfOne
    ? Math.round(value * perOne) / perOne
    : Math.round(value / resolution) * resolution;
  // A value so large that the multiplication overflows has no digits below the resolution anyway.
  return Number.isFinite(rounded) ? rounded + 0 : value;
}
