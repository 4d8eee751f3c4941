import { unknownEstimate, type Estimate } from './estimate.ts';

/** A share that the error of the lag may move by more than this is about the lag, not about the seed: one point. */
const LAG_HALF_MAX = 0.01;

/**
 * A quotient over some minutes, unless it rests on so little seed that the error of the lag decides it: while a line fills
 * or runs empty, a few seconds more or less are a good part of what has come through. Then it is as good as stopped.
 */
export function unlessLagDecides(share: Estimate): Estimate {
  if (!share.known) return share;
  const half = share.causes?.find(({ cause }) => cause === 'lag')?.half ?? 0;
  return Math.abs(half) > LAG_HALF_MAX ? unknownEstimate('line-stopped') : share;
}
