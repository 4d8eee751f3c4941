import type { Report } from '../engine/reports.ts';
import { threadEnded, type Line, type WorkerLine } from './line.ts';

const FIRST_PAUSE_MS = 1000;
const LONGEST_PAUSE_MS = 60_000;

/**
 * A line that outlives its worker:
 *
 *     open --- the worker ends unasked ---> down --- pause ---> opening --- ready ---> open
 *     opening --- refused ---> down, with a pause twice as long
 *
 * While it is down every question is refused, so that the recorder says so on every screen and keeps what it could
 * not hand over; what was told durable is in the file, and is there again when the next worker has opened it.
 */
export async function lastingLine(open: () => Promise<WorkerLine>, report: Report): Promise<Line> {
  const state = new LineState(open, report);
  await state.begin();
  return {
    call: async (name, ask) => state.current().call(name, ask),
    append: async (batch) => state.current().append(batch),
    async *stream(name, ask, signal) {
      yield* state.current().stream(name, ask, signal);
    },
    close: () => state.close(),
  };
}

class LineState {
  readonly #open: () => Promise<WorkerLine>;
  readonly #report: Report;
  #line: WorkerLine | null = null;
  #openedMs = 0;
  #fault = threadEnded('it was not started yet', 'ask again');
  #pauseMs = FIRST_PAUSE_MS;
  #timer: NodeJS.Timeout | undefined;
  #opening: Promise<void> | null = null;
  #isClosed = false;

  constructor(open: () => Promise<WorkerLine>, report: Report) {
    this.#open = open;
    this.#report = report;
  }

  /** Rejects when the first opening is refused: then something is wrong with the folder, not with the worker. */
  async begin(): Promise<void> {
    this.#line = await this.#open();
    this.#openedMs = performance.now();
    void this.#line.ended.then((why) => this.#goDown(why));
  }

  current(): Line {
    if (this.#line === null) throw this.#fault;
    return this.#line;
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    clearTimeout(this.#timer);
    await this.#opening;
    await this.#line?.close();
  }

  #goDown(why: string): void {
    // A worker that falls again at once must not be started every second for ever.
    if (this.#line !== null && performance.now() - this.#openedMs > LONGEST_PAUSE_MS)
      this.#pauseMs = FIRST_PAUSE_MS;
    this.#line = null;
    const remedy = this.#isClosed
      ? 'open the store again'
      : `what was durable is in the file; the thread is started again in ${this.#pauseMs / 1000} s`;
    this.#fault = threadEnded(why, remedy);
    if (this.#isClosed) return;
    this.#report({ code: this.#fault.code, parts: this.#fault.parts });
    this.#timer = setTimeout(() => {
      this.#opening = this.#reopen();
    }, this.#pauseMs);
    this.#pauseMs = Math.min(this.#pauseMs * 2, LONGEST_PAUSE_MS);
  }

  async #reopen(): Promise<void> {
    try {
      await this.begin();
    } catch (error) {
      this.#goDown(error instanceof Error ? error.message : String(error));
    }
  }
}
