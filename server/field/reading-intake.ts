import type { Reading } from '../contract/reading.ts';
import type { Clock } from '../ports/clock.ts';
import type { TagAddress, TagSink } from '../ports/tag-source.ts';
import { provenTimeMs } from './quiet-tags.ts';
import {
  beginConnection,
  isRepeated,
  isSameState,
  remember,
  rememberFirst,
  tagTable,
  type TagTable,
} from './tag-table.ts';
import { instant, toReading, type Arrival, type DataValueLike } from './to-reading.ts';

/** When a batch came; one look at the clocks for all of it, since looking costs as much as making a reading. */
interface Moment extends Arrival {
  readonly monotonicMs: number;
}

/**
 * Turns what the plant sends into readings and hands them on: all of one publish response in one batch. The
 * library gives out the changes of a response one after the other in one go, so a batch ends with the microtask.
 */
export class ReadingIntake {
  readonly table: TagTable;
  /** Plant clock less ours, as far as it is known. */
  clockOffsetMs = 0;
  isOffsetKnown = false;
  readonly #sink: TagSink;
  readonly #clock: Clock;
  #batch: Reading[] = [];
  #present: Moment | null = null;

  constructor(tags: readonly TagAddress[], sink: TagSink, clock: Clock) {
    this.table = tagTable(tags);
    this.#sink = sink;
    this.#clock = clock;
  }

  begin(): void {
    beginConnection(this.table);
  }

  /** The plant's time now, as far as its clock is known. */
  plantNowMs(): number {
    return this.#clock.nowMs() + this.clockOffsetMs;
  }

  /** The subscription sent a change. This runs for every change of every tag: keep it short. */
  changed(index: number, change: DataValueLike): void {
    const address = this.table.tags[index];
    if (address === undefined) return;
    const moment = this.#moment();
    this.table.notifiedMs[index] = moment.monotonicMs;
    this.table.contradictions[index] = 0;
    this.table.isRefused[index] = 0;
    const reading = toReading(change, address, moment);
    if (isRepeated(this.table, index, reading)) {
      if (Number.isNaN(this.table.firstSourceMs[index])) rememberFirst(this.table, index);
      return;
    }
    this.#handOn(index, reading, change);
  }

  /** A quiet tag was read again. Counts how often that contradicts the subscription. */
  readAgain(index: number, change: DataValueLike): void {
    const address = this.table.tags[index];
    if (address === undefined) return;
    const moment = this.#moment();
    const { arrivalMs, clockOffsetMs } = moment;
    const sourceTimeMs = provenTimeMs(this.table, index, { change, nowMs: arrivalMs, clockOffsetMs });
    if (sourceTimeMs === null) return;
    const reading: Reading = { ...toReading(change, address, moment), sourceTimeMs };
    if (!isSameState(this.table, index, reading)) this.#contradicted(index);
    this.#handOn(index, reading, change);
  }

  /** The plant does not know the tag: it is bad, said once for each connection. Answers whether this is the once. */
  refused(index: number): boolean {
    const address = this.table.tags[index];
    if (address === undefined || this.table.isRefused[index] === 1) return false;
    this.table.isRefused[index] = 1;
    const { arrivalMs, clockOffsetMs } = this.#moment();
    const sourceTimeMs = arrivalMs + clockOffsetMs;
    this.#batch.push({ tag: address.tag, sourceTimeMs, arrivalMs, value: null, quality: 'bad' });
    return true;
  }

  /** Hands on what has come so far. */
  flush(): void {
    this.#present = null;
    if (this.#batch.length === 0) return;
    const batch = this.#batch;
    this.#batch = [];
    this.#sink.readings(batch);
  }

  #handOn(index: number, reading: Reading, change: DataValueLike): void {
    remember(this.table, index, reading);
    this.table.serverMs[index] = instant(change.serverTimestamp) ?? NaN;
    this.#batch.push(reading);
  }

  /** The moment of the batch that is being made; begins one, with its end, when there is none. */
  #moment(): Moment {
    if (this.#present !== null) return this.#present;
    queueMicrotask(() => {
      this.flush();
    });
    this.#present = {
      arrivalMs: this.#clock.nowMs(),
      clockOffsetMs: this.clockOffsetMs,
      monotonicMs: performance.now(),
    };
    return this.#present;
  }

  #contradicted(index: number): void {
    this.table.contradictions[index] = Math.min((this.table.contradictions[index] ?? 0) + 1, 255);
  }
}
