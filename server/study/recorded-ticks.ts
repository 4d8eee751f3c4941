import type { ReplayTick } from '../alarms/replayed-alarms.ts';
import type { ChartRestart } from '../alarms/step-alarms.ts';
import type { Band, FigureMessage } from '../contract/figure-message.ts';
import type { Reading } from '../contract/reading.ts';
import type { RecordedEvent } from './recorded-events.ts';

export interface TickMaking {
  readonly tickMs: number;
  readonly bandOf: (figure: string) => Band | null;
  /** In ascending time. */
  readonly restarts: readonly ChartRestart[];
}

/**
 * Recorded events as the ticks that they came in live: readings in a frame at their own time, figures at its end. Ticks
 * in which nothing was said are left out; delays run by time, not by ticks.
 */
export class TickMaker {
  readonly #making: TickMaking;
  readonly #latest = new Map<string, Reading>();
  #nextRestart = 0;

  constructor(making: TickMaking) {
    this.#making = making;
  }

  /** @param events in ascending time, none before those of the call before. */
  *ticksOf(events: readonly RecordedEvent[]): Generator<ReplayTick, undefined> {
    const { tickMs } = this.#making;
    let first = 0;
    while (first < events.length) {
      const endMs = Math.ceil((events[first]?.timeMs ?? 0) / tickMs) * tickMs;
      let next = first;
      while (next < events.length && (events[next]?.timeMs ?? Infinity) <= endMs) next += 1;
      yield this.#tickOf(events.slice(first, next), endMs);
      first = next;
    }
  }

  /** The tick that ends the recorded time; restarts that are due by then come with it. */
  lastTick(endMs: number): ReplayTick {
    return this.#tickOf([], endMs);
  }

  /** A tick between two others in which nothing happens but time. */
  quietTick(endMs: number): ReplayTick {
    const frame = { endMs, tickMs: this.#making.tickMs, readings: [], latest: this.#latest };
    return { frame, figures: new Map(), restarts: [] };
  }

  #tickOf(events: readonly RecordedEvent[], endMs: number): ReplayTick {
    const readings = events.filter(({ subject }) => subject.kind === 'tag').map(readingOf);
    for (const reading of readings) this.#latest.set(reading.tag, reading);
    const figures = new Map<string, FigureMessage>();
    for (const event of events)
      if (event.subject.kind === 'figure') figures.set(event.subject.name, this.#figureOf(event));
    return {
      frame: { endMs, tickMs: this.#making.tickMs, readings, latest: this.#latest },
      figures,
      restarts: this.#restartsUntil(endMs),
    };
  }

  #figureOf({ subject, timeMs, value, quality, because }: RecordedEvent): FigureMessage {
    const band = this.#making.bandOf(subject.name);
    return { id: subject.name, timeMs, value, because, quality, uncertainty: null, coveredRatio: null, band };
  }

  #restartsUntil(endMs: number): readonly ChartRestart[] {
    const { restarts } = this.#making;
    const first = this.#nextRestart;
    while ((restarts[this.#nextRestart]?.timeMs ?? Infinity) <= endMs) this.#nextRestart += 1;
    return restarts.slice(first, this.#nextRestart);
  }
}

function readingOf({ subject, timeMs, value, quality }: RecordedEvent): Reading {
  return { tag: subject.name, sourceTimeMs: timeMs, arrivalMs: timeMs, value, quality };
}
