/** The part of jStat that tests use as a reference; the package brings no types. */
declare module 'jstat' {
  interface Distribution {
    inv(probability: number, ...parameters: readonly number[]): number;
    cdf(x: number, ...parameters: readonly number[]): number;
  }
  const jstat: {
    readonly normal: Distribution;
    readonly chisquare: Distribution;
    readonly studentt: Distribution;
  };
  export = jstat;
}
