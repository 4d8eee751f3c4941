/** How much is measured. */
export interface Sizes {
  /** Lots of eight hours, with perfect and with drawn instruments. */
  readonly lots: number;
  /** Eight hours with drawn instruments that are all well, the lots among them. */
  readonly shifts: number;
  /** Lots for each of the poorer profiles. */
  readonly poorer: number;
  readonly steps: number;
  readonly coveredTruths: number;
  readonly drawsPerTruth: number;
  readonly drifts: number;
  readonly lags: number;
  /** Copies of the demo's line, 300 tags each. */
  readonly tickLines: readonly number[];
}

export const FULL: Sizes = {
  lots: 20,
  shifts: 40,
  poorer: 3,
  steps: 6,
  coveredTruths: 20,
  drawsPerTruth: 20,
  drifts: 40,
  lags: 20,
  tickLines: [1, 10, 100],
};

export const SMALL: Sizes = {
  lots: 2,
  shifts: 2,
  poorer: 1,
  steps: 1,
  coveredTruths: 2,
  drawsPerTruth: 10,
  drifts: 4,
  lags: 3,
  tickLines: [1, 10],
};
