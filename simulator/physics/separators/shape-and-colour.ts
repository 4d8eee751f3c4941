import { logisticPartition } from '../partition.ts';
import { blurOf, type TakenShare } from './separator.ts';

/** Balls roll fast and fly outwards; what is less round than this stays in the inner flight. Invented. */
const ROUND_ENOUGH = 0.8;
const ROUNDNESS_ERROR = 0.02;
/** A colour sorter's jet hits this share of what it sees, and takes some neighbours with it. */
const JET_HITS = 0.93;
const JET_NEIGHBOURS = 0.004;

/** What a spiral leaves behind: all that does not roll. */
export const offRoundShare: TakenShare = (population, i, { condition }) =>
  1 -
  logisticPartition(population.sphericity[i] ?? 0, {
    at: ROUND_ENOUGH,
    probableError: ROUNDNESS_ERROR * blurOf(condition),
  });

/** What a colour sorter blows out. */
export const offColourShare: TakenShare = (population, i) =>
  JET_NEIGHBOURS + (1 - JET_NEIGHBOURS) * JET_HITS * (population.offColour[i] ?? 0);
