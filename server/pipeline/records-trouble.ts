/** Records that fail cost records, never the watch: what was to be kept is tried again with the next tick. */
export class RecordsTrouble {
  readonly #log: (text: string) => void;
  #failed: string | null = null;
  #told: string | null = null;

  constructor(log: (text: string) => void) {
    this.#log = log;
  }

  /** What the work on the records rejects with; null when it was done. */
  async failureOf(work: Promise<void>): Promise<Error | null> {
    try {
      await work;
      return null;
    } catch (error) {
      const failure = error instanceof Error ? error : new Error(String(error));
      this.#failed ??= failure.message;
      return failure;
    }
  }

  /** At the end of a tick: says once how it began and once that it is over. */
  endTick(): void {
    const got = this.#failed;
    this.#failed = null;
    if (got === this.#told) return;
    this.#told = got;
    this.#log(
      got === null
        ? 'records are kept again, what waited too'
        : `RECORDS_UNWRITABLE records: got ${got}, expected them to be kept; tried again each tick, the watch goes on`,
    );
  }
}
