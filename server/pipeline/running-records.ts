import type { Lot, Shift } from '../contract/records.ts';
import type { RecordStore } from '../ports/record-store.ts';

const SHIFT_KEEPER = { id: 'shift calendar', role: 'engineer' } as const;

/** The lots and shifts that run now, as the records have them; starts the shifts by the plant's calendar. */
export class RunningRecords {
  readonly #records: RecordStore;
  readonly #lines: ReadonlySet<string>;
  #lots: readonly Lot[] = [];
  #shifts: readonly Shift[] = [];
  #isRead = false;
  #isTold = false;

  constructor(records: RecordStore, lines: ReadonlySet<string>) {
    this.#records = records;
    this.#lines = lines;
  }

  get lots(): readonly Lot[] {
    return this.#lots;
  }

  get shifts(): readonly Shift[] {
    return this.#shifts;
  }

  /** Somebody has started or ended something: read it anew. */
  outdate(): void {
    this.#isRead = false;
  }

  /** Reads what runs where that has changed. Rejects when the records cannot be read; the last known stays. */
  async read(): Promise<void> {
    if (this.#isRead) return;
    this.#lots = await this.#records.runningLots();
    this.#shifts = await this.#records.runningShifts();
    this.#isRead = true;
    this.#isTold = false;
  }

  /** Starts the shift that is due on each line where another one runs. Rejects when the records fail. */
  async keepShift(due: { readonly name: string; readonly startedMs: number } | null): Promise<void> {
    if (due === null) return;
    await this.read();
    for (const line of this.#lines) {
      const running = this.#shifts.find((shift) => shift.line === line);
      if (running?.name === due.name && running.startedMs >= due.startedMs) continue;
      this.outdate();
      await this.#records.startShift(line, due.name, { actor: SHIFT_KEEPER, timeMs: due.startedMs });
    }
  }

  /** What runs, where it changed since it was last taken; null where it did not. */
  takeNews(): { readonly lots: readonly Lot[] | null; readonly shifts: readonly Shift[] | null } {
    if (this.#isTold || !this.#isRead) return { lots: null, shifts: null };
    this.#isTold = true;
    return { lots: this.#lots, shifts: this.#shifts };
  }
}
