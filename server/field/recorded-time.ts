/**
 * When the plant's historian was at work, as sorted stretches that do not touch: from its values of any tag.
 *
 * A historian writes down a contact when it moves, and nothing while it stands. Then the absence of values says
 * "held" as long as the historian was writing other things down, and "unknown" when it was silent altogether.
 */
export type RecordedTime = readonly Span[];

export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Bound of what is kept; the oldest is forgotten, which can only turn "held" into "unknown". */
export const SPANS_MAX = 10_000;

/** The spans of ascending source times: neighbours no further apart than `joinMs` belong together. */
export function spansOf(timesMs: readonly number[], joinMs: number): RecordedTime {
  return joined(
    timesMs.map((timeMs) => ({ fromMs: timeMs, toMs: timeMs })),
    joinMs,
  );
}

export function mergedSpans(one: RecordedTime, other: RecordedTime, joinMs: number): RecordedTime {
  const sorted = [...one, ...other].sort((a, b) => a.fromMs - b.fromMs);
  return joined(sorted, joinMs).slice(-SPANS_MAX);
}

/**
 * Until when a value that was last recorded at `fromMs` is known to have stood still, at most until `toMs`: as
 * long as the historian was never silent for longer than the tag's allowed age.
 */
export function heldUntilMs(recorded: RecordedTime, { fromMs, toMs }: Span, staleAfterMs: number): number {
  let knownMs = fromMs;
  for (const span of recorded) {
    if (span.toMs <= knownMs) continue;
    if (span.fromMs - knownMs > staleAfterMs || span.fromMs >= toMs) break;
    knownMs = span.toMs;
  }
  return toMs - knownMs <= staleAfterMs ? toMs : knownMs;
}

/** Whether the historian wrote anything down between the two. */
export function wasRecorded(recorded: RecordedTime, { fromMs, toMs }: Span): boolean {
  return recorded.some((span) => span.fromMs < toMs && span.toMs > fromMs);
}

/** When a held value has to be told again so that it never grows older than allowed, between the two ends. */
export function heldTimes({ fromMs, toMs }: Span, staleAfterMs: number): readonly number[] {
  const stepMs = Math.max(1, Math.floor(staleAfterMs * HELD_STEP));
  const times: number[] = [];
  for (let timeMs = fromMs + stepMs; timeMs < toMs; timeMs += stepMs) times.push(timeMs);
  return times;
}

/** Share of the allowed age after which a held value is told again. */
const HELD_STEP = 0.8;

function joined(sorted: RecordedTime, joinMs: number): RecordedTime {
  const spans: { fromMs: number; toMs: number }[] = [];
  for (const { fromMs, toMs } of sorted) {
    const last = spans.at(-1);
    if (last !== undefined && fromMs - last.toMs <= joinMs) last.toMs = Math.max(last.toMs, toMs);
    else spans.push({ fromMs, toMs });
  }
  return spans;
}
