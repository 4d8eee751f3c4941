import type { HandSample, Lot, Mark } from '../contract/records.ts';
import type { RecordStore } from '../ports/record-store.ts';

/** What a person enters counts in the figures this soon. */
const READ_EVERY_MS = 5000;
/** No figure trusts a hand sample for longer. */
const SAMPLES_OF_MS = 24 * 3_600_000;

/** What people noted that figures rest on: marks of the running lots, and hand samples of the last day. */
export class LineNotes {
  readonly #records: RecordStore;
  #readMs = -Infinity;
  #marks: readonly Mark[] = [];
  #samples: readonly HandSample[] = [];

  constructor(records: RecordStore) {
    this.#records = records;
  }

  get marks(): readonly Mark[] {
    return this.#marks;
  }

  get samples(): readonly HandSample[] {
    return this.#samples;
  }

  /** Reads anew every few seconds. Rejects when the records cannot be read; the last known stays. */
  async read(nowMs: number, lots: readonly Lot[]): Promise<void> {
    if (Math.abs(nowMs - this.#readMs) < READ_EVERY_MS) return;
    this.#readMs = nowMs;
    const toMs = nowMs + 1;
    const fromMs = Math.min(nowMs - SAMPLES_OF_MS, ...lots.map(({ startedMs }) => startedMs));
    this.#marks = await this.#records.marks({ fromMs, toMs });
    this.#samples = await this.#records.handSamples({ fromMs: nowMs - SAMPLES_OF_MS, toMs });
  }
}
