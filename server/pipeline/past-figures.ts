import type { FigureMessage } from '../contract/figure-message.ts';
import type { Reading } from '../contract/reading.ts';
import type { Lot } from '../contract/records.ts';
import { framesFrom } from '../line/frames.ts';
import type { LineSetup } from '../line/line-setup.ts';
import { NEW_LINE, stepLine } from '../line/step-line.ts';

/** One figure a second is what the past is kept at, live or replayed. */
const REPLAY_TICK_MS = 1000;
/** The plant's history comes in pieces; it has all come when none did for this long. */
const QUIET_MS = 1500;

/** Readings of the past on their way into the figures: they wait until all of them are there. */
export class PastReadings {
  readonly #isWanted: (tag: string) => boolean;
  #waiting: Reading[] = [];
  #lastMs = 0;

  constructor(isWanted: (tag: string) => boolean) {
    this.#isWanted = isWanted;
  }

  add(batch: readonly Reading[], nowMs: number): void {
    this.#lastMs = nowMs;
    for (const reading of batch) if (this.#isWanted(reading.tag)) this.#waiting.push(reading);
  }

  /** Everything that waits, in source-time order, once nothing more is coming; empty until then. */
  takeWhenQuiet(nowMs: number): readonly Reading[] {
    if (this.#waiting.length === 0 || nowMs - this.#lastMs < QUIET_MS) return [];
    const taken = this.#waiting.sort((a, b) => a.sourceTimeMs - b.sourceTimeMs);
    this.#waiting = [];
    return taken;
  }
}

/**
 * The figures of a stretch that was not watched, frame by frame, by the same code that watches. What nobody saw
 * raises no alarm.
 */
export function* pastFigures(
  line: LineSetup,
  readings: readonly Reading[],
  past: { readonly lot: Lot | null; readonly untilMs: number },
): Generator<readonly FigureMessage[], undefined> {
  let state = NEW_LINE;
  // As if each had come at once; held back a tick, so that none measured exactly at a frame's end is late.
  const asOnTime = readings.map((reading) => ({ ...reading, arrivalMs: reading.sourceTimeMs }));
  for (const frame of framesFrom(asOnTime, REPLAY_TICK_MS, REPLAY_TICK_MS)) {
    if (frame.endMs >= past.untilMs) return;
    const step = stepLine(line, state, { frame, lostEndpoints: new Set(), lot: past.lot });
    state = step.state;
    yield step.figures;
  }
}
