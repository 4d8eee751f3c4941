/** A stored column as it is sent: the store's NaN, which JSON does not have, is null. */
export function nullableColumn(pieces: readonly Float64Array[]): (number | null)[] {
  return pieces.flatMap((piece) => Array.from(piece, (value) => (Number.isNaN(value) ? null : value)));
}

export function numberColumn(pieces: readonly (Float64Array | Uint32Array | Uint8Array)[]): number[] {
  return pieces.flatMap((piece) => Array.from(piece));
}
