/** One question for the plant's time: when it was asked and answered by our clock, and what the plant said. */
export interface TimeAnswer {
  readonly askedMs: number;
  readonly answeredMs: number;
  readonly plantMs: number;
}

const KEPT = 16;

/**
 * How far the plant's clock is ahead of ours.
 *
 *     offset = plantMs - (askedMs + answeredMs) / 2
 *
 * Shape    the last answers in, one offset out: that of the quickest, since the error of each is at most half
 *          of its round trip; a burst of readings delays an answer by tens of milliseconds.
 * Units    ms -> ms
 * Unknown  null without any answer.
 * Throws   never
 * Source   the midpoint rule of clock comparison over a network, RFC 5905 section 8.
 *
 * @example asked at 1000, answered at 1010, plant says 1505: the plant is 500 ms ahead
 */
export function clockOffsetMs(answers: readonly TimeAnswer[]): number | null {
  let quickest: TimeAnswer | null = null;
  for (const answer of answers) {
    if (quickest === null || roundTripMs(answer) <= roundTripMs(quickest)) quickest = answer;
  }
  return quickest && quickest.plantMs - (quickest.askedMs + quickest.answeredMs) / 2;
}

/** The answers worth keeping after one more; after a step of either clock the older ones tell nothing. */
export function withAnswer(answers: readonly TimeAnswer[], latest: TimeAnswer): readonly TimeAnswer[] {
  const previous = clockOffsetMs(answers);
  const offset = clockOffsetMs([latest]) ?? 0;
  const hasStepped = previous !== null && Math.abs(offset - previous) > roundTripMs(latest) / 2 + STEP_MS;
  return hasStepped ? [latest] : [...answers.slice(1 - KEPT), latest];
}

const STEP_MS = 200;

function roundTripMs(answer: TimeAnswer): number {
  return answer.answeredMs - answer.askedMs;
}
