export interface FloodLimits {
  readonly windowMs: number;
  /** A flood begins when more than this many fall into one window. */
  readonly startsAbove: number;
  /** It ends when fewer than this many do. */
  readonly endsBelow: number;
}

/** Source: ISA-18.2 / EEMUA 191, from memory; some count 10 as a flood already, so it is a setting. */
const FLOOD_LIMITS: FloodLimits = { windowMs: 600_000, startsAbove: 10, endsBelow: 5 };

/**
 * Whether more alarms come than a person can answer.
 *
 *     calm --count of the last window > startsAbove--> flood --count < endsBelow--> calm
 */
export interface FloodState {
  readonly sinceMs: number | null;
  /** Annunciations that can still matter, oldest first. */
  readonly recentMs: readonly number[];
}

export interface Flood {
  readonly startMs: number;
  /** Null while it lasts. */
  readonly endMs: number | null;
  readonly count: number;
}

export interface FloodStep {
  readonly state: FloodState;
  readonly startedMs: number | null;
  readonly endedMs: number | null;
}

export const NO_FLOOD: FloodState = { sinceMs: null, recentMs: [] };

/** The state after the annunciations of a tick, and the last start and end that fell into it. */
export function stepFlood(
  before: FloodState,
  input: { readonly annunciatedMs: readonly number[]; readonly nowMs: number },
  limits: FloodLimits = FLOOD_LIMITS,
): FloodStep {
  // One copy for all of a tick: in a storm there are thousands, and each is looked at once.
  const recent = [...before.recentMs];
  let oldest = 0;
  let { sinceMs } = before;
  let startedMs: number | null = null;
  let endedMs: number | null = null;
  const end = (untilMs: number) => {
    const keeper = recent.length - limits.endsBelow;
    const keptUpMs = keeper >= oldest ? recent[keeper] : undefined;
    const endMs = endOf({ sinceMs, keptUpMs }, limits);
    if (endMs === null || endMs > untilMs) return;
    endedMs = endMs;
    sinceMs = null;
  };
  for (const timeMs of input.annunciatedMs) {
    end(timeMs);
    while ((recent[oldest] ?? Infinity) < timeMs - limits.windowMs) oldest += 1;
    recent.push(timeMs);
    if (sinceMs !== null || recent.length - oldest <= limits.startsAbove) continue;
    sinceMs = timeMs;
    startedMs = timeMs;
  }
  end(input.nowMs);
  return { state: { sinceMs, recentMs: recent.slice(oldest) }, startedMs, endedMs };
}

/** All floods among annunciations in ascending time. */
export function floodsIn(
  annunciatedMs: readonly number[],
  untilMs: number,
  limits: FloodLimits = FLOOD_LIMITS,
): readonly Flood[] {
  const floods: Flood[] = [];
  let state = NO_FLOOD;
  const note = (step: FloodStep) => {
    const last = floods.at(-1);
    if (step.endedMs !== null && last !== undefined)
      floods[floods.length - 1] = { ...last, endMs: step.endedMs };
    if (step.startedMs !== null) floods.push({ startMs: step.startedMs, endMs: null, count: 0 });
    state = step.state;
  };
  for (const timeMs of annunciatedMs)
    note(stepFlood(state, { annunciatedMs: [timeMs], nowMs: timeMs }, limits));
  note(stepFlood(state, { annunciatedMs: [], nowMs: untilMs }, limits));
  return floods.map((flood) => {
    const isIn = (timeMs: number) => timeMs >= flood.startMs && timeMs <= (flood.endMs ?? untilMs);
    return { ...flood, count: annunciatedMs.filter(isIn).length };
  });
}

/** The first instant at which the last window holds too few: one ms after the oldest that keeps it up has left. */
function endOf(
  flood: { readonly sinceMs: number | null; readonly keptUpMs: number | undefined },
  { windowMs }: FloodLimits,
): number | null {
  return flood.sinceMs === null ? null : (flood.keptUpMs ?? flood.sinceMs) + windowMs + 1;
}
