/** The sum of plain numbers, in the order given; 0 for none. */
export function sumOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}
