import { faultText } from '../contract/faults.ts';
import type { RecordingStatus } from '../contract/link-status.ts';

export interface RecordingLogParts {
  readonly log: (text: string) => void;
  /** Free bytes where the history is kept, or null where that cannot be told. */
  readonly freeBytes: () => Promise<number | null>;
  /** Most samples that wait in memory. */
  readonly waitingCountMax: number;
}

const REMIND_MS = 600_000;
const MS_PER_S = 1000;
const BYTES_PER_MB = 1e6;

/** Writes into the log, with numbers, when readings begin not to be kept, every ten minutes while so, and the end of it. */
export class RecordingLog {
  readonly #parts: RecordingLogParts;
  #troubleSinceMs: number | null = null;
  #toldMs = 0;
  #mostWaiting = 0;

  constructor(parts: RecordingLogParts) {
    this.#parts = parts;
  }

  /** Called once a tick; resolves when what is to be said is said. */
  async note(status: RecordingStatus, nowMs: number): Promise<void> {
    if (status.isRecording) {
      if (this.#troubleSinceMs !== null) this.#tellEnd(status, nowMs - this.#troubleSinceMs);
      this.#troubleSinceMs = null;
      return;
    }
    this.#mostWaiting = Math.max(this.#mostWaiting, status.waitingCount);
    const isNew = this.#troubleSinceMs === null;
    this.#troubleSinceMs ??= status.sinceMs;
    if (!isNew && nowMs - this.#toldMs < REMIND_MS) return;
    this.#toldMs = nowMs;
    await this.#tellTrouble(status, nowMs);
  }

  async #tellTrouble(
    { because, waitingCount, lostCount, sinceMs }: RecordingStatus,
    nowMs: number,
  ): Promise<void> {
    const { log, freeBytes, waitingCountMax } = this.#parts;
    const free = await freeBytes();
    const room =
      free === null ? 'free disk space not known' : `${(free / BYTES_PER_MB).toFixed(1)} MB of disk free`;
    const waiting = `${waitingCount} of at most ${waitingCountMax} samples wait in memory, ${lostCount} lost`;
    log(
      `${because ?? 'readings are not kept'} (for ${seconds(nowMs - sinceMs)}; ${waiting}; ${room}); live view and alarms go on`,
    );
  }

  #tellEnd({ lostCount }: RecordingStatus, spanMs: number): void {
    const got = `${this.#mostWaiting} waited, ${lostCount} lost`;
    const expected = 'none lost';
    const remedy = 'readings are kept again, those that waited too';
    this.#mostWaiting = 0;
    this.#parts.log(
      faultText('HISTORY_UNWRITABLE', {
        subject: `history, for ${seconds(spanMs)} [samples]`,
        got,
        expected,
        remedy,
      }),
    );
  }
}

function seconds(ms: number): string {
  return `${Math.round(ms / MS_PER_S)} s`;
}
