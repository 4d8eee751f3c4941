const DEFAULT_SEED = 20_260_914;

/**
 * The seed of everything random in tests. It is fixed, so that a failure is the same failure everywhere;
 * `SEED=123 npm test` tries another, and a failed run prints the one it used.
 */
export const SEED = seedFrom(process.env['SEED']);

function seedFrom(text: string | undefined): number {
  if (text === undefined || text === '') return DEFAULT_SEED;
  const seed = Number(text);
  if (Number.isInteger(seed) && seed >= 0 && seed < 2 ** 31) return seed;
  throw new RangeError(
    `ARGUMENT_INVALID SEED: got ${text}, expected a whole number from 0 to 2147483647; set it so`,
  );
}
