/** The one form of a calculation's complaint about its caller: `FIGURE_INPUT <subject>: got <value>, expected <limit>`. */
export function figureInputError(subject: string, got: number | string, expected: string): RangeError {
  return new RangeError(`FIGURE_INPUT ${subject}: got ${got}, expected ${expected}`);
}
