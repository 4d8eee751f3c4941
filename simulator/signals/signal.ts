/** A signal's name and what really is, at the place where its instrument sits. */
export type Signal = readonly [node: string, truth: () => number];
