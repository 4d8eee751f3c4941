/**
 * The server's time, kept by what it says. A browser's own clock may be minutes off; ages and the clock on the wall
 * must not be.
 */
export interface ServerClock {
  hear(serverMs: number): void;
  nowMs(): number;
  /** The server's time in its last message; null before the first. */
  lastHeardMs(): number | null;
}

/** Messages travel for some milliseconds; a jump beyond this is a clock that was set. */
const JUMP_MS = 1000;
const EASING = 0.05;

export function serverClock(localMs: () => number): ServerClock {
  let offsetMs: number | null = null;
  let lastMs: number | null = null;
  return {
    hear(serverMs) {
      const heard = serverMs - localMs();
      lastMs = serverMs;
      if (offsetMs === null || Math.abs(heard - offsetMs) > JUMP_MS) offsetMs = heard;
      else offsetMs += (heard - offsetMs) * EASING;
    },
    nowMs: () => localMs() + (offsetMs ?? 0),
    lastHeardMs: () => lastMs,
  };
}
