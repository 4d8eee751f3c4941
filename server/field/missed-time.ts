import type { FaultCode, FaultParts } from '../contract/faults.ts';
import { HistoryFilling, markStretches, type Connected, type FillingParts } from './history-filling.ts';
import {
  beginStretches,
  endStretches,
  missingSince,
  type Missing,
  type Stretch,
} from './missed-stretches.ts';
import type { OpcuaLibrary } from './opcua-library.ts';
import type { OpenedConnection } from './plant-connection.ts';

export interface MissedTimeParts extends Omit<FillingParts, 'recorded'> {
  readonly recordedUntilMs: (tag: string) => number | null;
  readonly report: (code: FaultCode, parts: FaultParts) => void;
}

/** After so many fruitless attempts to read history in a row the rest is given up and marked. */
const TROUBLES_MAX = 3;
/** How long to wait after a failed attempt: a historian in trouble must not be pressed. */
const AFTER_TROUBLE_MS = 5000;
/** Time for the first readings of a new connection to come, beyond two publishing intervals. */
const SETTLING_MS = 500;

/**
 * Keeps account of the time in which tags were not heard and makes it good from the plant's history, behind the
 * live readings: never before the link is live, a few nodes at a time. What cannot be made good becomes a gap.
 */
export class MissedTime {
  readonly #parts: MissedTimeParts;
  #missing: Missing | null = null;
  #connected: Connected | null = null;
  #filling: HistoryFilling | null = null;
  readonly #recorded: FillingParts['recorded'] = { spans: [] };
  #troubles = 0;
  #notBeforeMs = 0;
  /** Tags known to have no history; their gap is marked as soon as the link breaks. */
  #withoutHistory: readonly string[] = [];

  constructor(parts: MissedTimeParts) {
    this.#parts = parts;
  }

  /** Before the first attempt to connect: everything since the newest kept reading is missing. */
  begin(): void {
    const { intake, recordedUntilMs } = this.#parts;
    this.#missing ??= missingSince(intake.table.tags.map(({ tag }) => recordedUntilMs(tag)));
  }

  opened(library: OpcuaLibrary, opened: OpenedConnection): void {
    this.#connected = { library, opened, sinceMs: this.#parts.nowMs(), history: null };
    this.#notBeforeMs = performance.now() + 2 * opened.publishingIntervalMs + SETTLING_MS;
  }

  /** The link, or an attempt at it, broke; `heardMs` is when the plant was last heard, by its clock. */
  lost(heardMs: number): void {
    const { intake, endpoint, sink } = this.#parts;
    const connected = this.#connected;
    this.#connected = null;
    if (this.#missing === null) return;
    this.#interrupt(this.#missing, 'the link broke');
    endStretches(this.#missing, intake.table, connected ? connected.sinceMs + intake.clockOffsetMs : heardMs);
    const lostMs = this.#afterLastReading(heardMs);
    markStretches(this.#parts, beginStretches(this.#missing, intake.table, lostMs));
    if (connected !== null && this.#withoutHistory.length > 0) {
      sink.gap({ endpoint: endpoint.id, tags: this.#withoutHistory, fromMs: lostMs, toMs: null });
    }
  }

  /** Called often while live; begins to fill when there is something to fill and nothing else is being filled. */
  tick(): void {
    const connected = this.#connected;
    const missing = this.#missing;
    if (connected === null || missing === null) return;
    if (this.#filling !== null || performance.now() < this.#notBeforeMs) return;
    const { intake } = this.#parts;
    endStretches(missing, intake.table, connected.sinceMs + intake.clockOffsetMs);
    if (missing.waiting.length === 0) return;
    const filling = new HistoryFilling(
      { ...this.#parts, recorded: this.#recorded },
      connected,
      missing.waiting,
    );
    missing.waiting = [];
    this.#filling = filling;
    filling.run().then(
      () => {
        if (this.#filling === filling) this.#finished(filling, connected);
      },
      (error: unknown) => {
        if (this.#filling === filling) this.#interrupt(missing, textOf(error));
      },
    );
  }

  #finished(filling: HistoryFilling, { history }: Connected): void {
    this.#filling = null;
    this.#troubles = 0;
    const { tags } = this.#parts.intake.table;
    this.#withoutHistory = tags.filter((_, index) => history?.has(index) !== true).map(({ tag }) => tag);
    this.#reportRefusals(filling.refusals);
  }

  #interrupt(missing: Missing, why: string): void {
    const filling = this.#filling;
    if (filling === null) return;
    this.#filling = null;
    const left = filling.interrupt();
    this.#troubles = filling.hasAchieved ? 0 : this.#troubles + 1;
    this.#notBeforeMs = performance.now() + AFTER_TROUBLE_MS;
    const isGivenUp = this.#troubles >= TROUBLES_MAX;
    this.#parts.report('BACKFILL_REFUSED', {
      subject: `endpoint ${this.#parts.endpoint.id}`,
      got: why,
      expected: 'an answer to reading its history',
      remedy: isGivenUp ? 'what was missed stays a gap' : 'it is asked again',
    });
    if (!isGivenUp) missing.waiting.unshift(...left);
    else this.#giveUp(left);
  }

  #giveUp(left: readonly Stretch[]): void {
    this.#troubles = 0;
    markStretches(this.#parts, left);
  }

  /** Said once for all tags of one filling: a server that claims a history for each of its nodes has thousands. */
  #reportRefusals(refusals: ReadonlyMap<number, string>): void {
    const [first] = refusals;
    if (first === undefined) return;
    const [index, why] = first;
    const others = refusals.size > 1 ? ` and ${refusals.size - 1} more` : '';
    this.#parts.report('BACKFILL_REFUSED', {
      subject: `tag ${this.#parts.intake.table.tags[index]?.tag}${others}`,
      got: why,
      expected: 'the history that the access level offers',
      remedy: 'what was missed stays a gap; it is asked for again on the next connection',
    });
  }

  /** A gap begins after the last reading, also where a source clock runs a little ahead of its server's. */
  #afterLastReading(heardMs: number): number {
    const aheadMsMax = 60_000;
    let lastMs = heardMs;
    for (const sourceMs of this.#parts.intake.table.sourceMs) {
      if (sourceMs > lastMs && sourceMs < heardMs + aheadMsMax) lastMs = sourceMs;
    }
    return lastMs + 1;
  }
}

function textOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
