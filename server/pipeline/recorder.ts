import type { RecordingStatus } from '../contract/link-status.ts';
import type { Reading } from '../contract/reading.ts';
import type { Clock } from '../ports/clock.ts';
import type { SampleBatch, SampleStore, SeriesId } from '../ports/sample-store.ts';
import { SampleQueue, type QueuedSample } from './sample-queue.ts';

/** About ten minutes of 3,000 tags at 1 Hz in memory while the disk does not take them. */
export const WAITING_COUNT_MAX = 2_000_000;
const BATCH_COUNT_MAX = 100_000;
const RETRY_MS = 1000;

/**
 * Keeps samples until the store has them.
 *
 *     idle --- something waits ---> writing --- durable ---> idle
 *     writing --- refused ---> waiting for the disk --- RETRY_MS ---> writing the same batch again
 *
 * One batch is under way at a time: what arrives meanwhile makes the next batch larger, so a slow disk costs
 * fewer and larger commits instead of a longer queue.
 */
export class Recorder {
  readonly #store: SampleStore;
  readonly #clock: Clock;
  readonly #writer: string;
  readonly #queue = new SampleQueue(WAITING_COUNT_MAX);
  #sequence: number;
  #underWay: Promise<void> | null = null;
  #refused: SampleBatch | null = null;
  #retryAtMs = 0;
  /** Lost in earlier troubles, which are over. */
  #lostBefore = 0;
  #status: RecordingStatus;

  constructor(parts: { store: SampleStore; clock: Clock; writer: string; lastSequence: number }) {
    this.#store = parts.store;
    this.#clock = parts.clock;
    this.#writer = parts.writer;
    this.#sequence = parts.lastSequence;
    this.#status = {
      isRecording: true,
      sinceMs: parts.clock.nowMs(),
      waitingCount: 0,
      lostCount: 0,
      because: null,
    };
  }

  get status(): RecordingStatus {
    if (this.#status.isRecording) return this.#status;
    const waitingCount = this.#queue.count + (this.#refused?.series.length ?? 0);
    return { ...this.#status, waitingCount, lostCount: this.#lostCount };
  }

  get #lostCount(): number {
    return this.#queue.lostCount - this.#lostBefore;
  }

  add(sample: QueuedSample): void {
    this.#queue.push(sample);
  }

  /** Keeps a reading, without an object for it: this runs for every reading of the plant. */
  addReading(series: SeriesId, reading: Reading, reason: number): void {
    this.#queue.pushReading(series, reading, reason);
  }

  /** Sends what waits, unless a batch is under way. Called once a tick. */
  flush(): void {
    if (this.#underWay !== null) return;
    if (this.#refused !== null && this.#isTooEarly()) return;
    const batch = this.#refused ?? this.#nextBatch();
    if (batch === null) return;
    this.#underWay = this.#write(batch).finally(() => {
      this.#underWay = null;
    });
  }

  /** Resolves when everything given so far is durable, or the store has refused it. */
  async settled(): Promise<void> {
    while (this.#underWay !== null || (this.#refused === null && this.#queue.count > 0)) {
      this.flush();
      await this.#underWay;
    }
  }

  /** A clock that was set back by an hour must not make the disk wait for an hour. */
  #isTooEarly(): boolean {
    const leftMs = this.#retryAtMs - this.#clock.nowMs();
    return leftMs > 0 && leftMs <= RETRY_MS;
  }

  #nextBatch(): SampleBatch | null {
    if (this.#queue.count === 0) return null;
    this.#sequence += 1;
    return { writer: this.#writer, sequence: this.#sequence, ...this.#queue.take(BATCH_COUNT_MAX) };
  }

  async #write(batch: SampleBatch): Promise<void> {
    try {
      await this.#store.append(batch);
      this.#refused = null;
      if (!this.#status.isRecording) this.#say(true, null);
    } catch (error) {
      this.#refused = batch;
      this.#retryAtMs = this.#clock.nowMs() + RETRY_MS;
      if (this.#status.isRecording) this.#say(false, error instanceof Error ? error.message : String(error));
    }
  }

  #say(isRecording: boolean, because: string | null): void {
    const sinceMs = this.#clock.nowMs();
    if (!isRecording) this.#lostBefore = this.#queue.lostCount;
    this.#status = { isRecording, sinceMs, waitingCount: 0, lostCount: this.#lostCount, because };
  }
}
