import type { Clock } from '../ports/clock.ts';

/** This machine's clock. */
export const systemClock: Clock = {
  nowMs: () => Date.now(),
  every(periodMs, callBack) {
    const timer = setInterval(callBack, periodMs);
    return () => {
      clearInterval(timer);
    };
  },
};
