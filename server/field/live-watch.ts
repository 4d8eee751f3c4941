import { clockOffsetMs, withAnswer, type TimeAnswer } from './clock-offset.ts';
import type { OpenedConnection } from './plant-connection.ts';
import { plantTime, readAttribute } from './plant-session.ts';
import { quietTags } from './quiet-tags.ts';
import type { ReadingIntake } from './reading-intake.ts';

export interface LiveWatchParts {
  readonly opened: OpenedConnection;
  readonly intake: ReadingIntake;
  readonly nowMs: () => number;
  /** The plant answered a request. */
  readonly answered: () => void;
  /** A request that the plant would not carry out; the link itself may be well. */
  readonly failed: (what: string, error: unknown) => void;
  /** Reads keep finding changes of this tag that the subscription does not send. */
  readonly deaf: (tag: string) => void;
}

const PROBE_EVERY_MS = 1000;
const QUIET_EVERY_MS = 250;
/** Time for the first readings of a new subscription to come by themselves. */
const QUIET_AFTER_MS = 1000;
const ASK_AGAIN_EVERY_MS = 5000;
const CONTRADICTIONS_MAX = 3;
const AFTER_FAILURE_MS = 1000;

/**
 * What is asked of a live plant besides the subscription: its time (which shows that it answers at all, and how
 * its clock stands to ours), the value of tags that have been quiet, and again for tags that it refused. One
 * question of each kind at a time.
 */
export class LiveWatch {
  readonly #parts: LiveWatchParts;
  readonly #openedMs = performance.now();
  #answers: readonly TimeAnswer[] = [];
  readonly #errands: readonly Errand[];
  #isEnded = false;

  constructor(parts: LiveWatchParts) {
    this.#parts = parts;
    this.#errands = [
      {
        what: 'plant time',
        everyMs: PROBE_EVERY_MS,
        dueMs: 0,
        isOut: false,
        hasFailed: false,
        run: () => this.#probe(),
      },
      {
        what: 'quiet tags',
        everyMs: QUIET_EVERY_MS,
        dueMs: this.#openedMs + QUIET_AFTER_MS,
        isOut: false,
        hasFailed: false,
        run: () => this.#readQuiet(),
      },
      {
        what: 'refused tags',
        everyMs: ASK_AGAIN_EVERY_MS,
        dueMs: this.#openedMs + ASK_AGAIN_EVERY_MS,
        isOut: false,
        hasFailed: false,
        run: () => this.#askAgain(),
      },
    ];
  }

  /** Called often. */
  tick(): void {
    const monotonicMs = performance.now();
    for (const errand of this.#errands) {
      if (errand.isOut || monotonicMs < errand.dueMs) continue;
      errand.isOut = true;
      errand.dueMs = monotonicMs + errand.everyMs;
      void this.#go(errand);
    }
  }

  /** What is under way comes to nothing from here on. */
  end(): void {
    this.#isEnded = true;
  }

  async #go(errand: Errand): Promise<void> {
    try {
      await errand.run();
      errand.hasFailed = false;
    } catch (error) {
      if (!this.#isEnded && !errand.hasFailed) this.#parts.failed(errand.what, error);
      errand.hasFailed = true;
      errand.dueMs += AFTER_FAILURE_MS;
    }
    errand.isOut = false;
  }

  async #probe(): Promise<void> {
    const { opened, intake, nowMs, answered } = this.#parts;
    const askedMs = nowMs();
    const plantMs = await plantTime(opened.session);
    if (this.#isEnded) return;
    answered();
    if (plantMs === null) return;
    this.#answers = withAnswer(this.#answers, { askedMs, answeredMs: nowMs(), plantMs });
    intake.clockOffsetMs = clockOffsetMs(this.#answers) ?? 0;
    intake.isOffsetKnown = true;
  }

  async #readQuiet(): Promise<void> {
    const { opened, intake, nowMs, answered } = this.#parts;
    const asked = quietTags(intake.table, { nowMs: nowMs(), clockOffsetMs: intake.clockOffsetMs }).flatMap(
      (index) => {
        const nodeId = opened.nodeIds[index] ?? null;
        return nodeId === null ? [] : [{ index, nodeId }];
      },
    );
    if (asked.length === 0) return;
    const changes = await readAttribute(opened.session, {
      nodes: asked.map(({ nodeId }) => nodeId),
      nodesPerRead: opened.facts.nodesPerRead,
    });
    if (this.#isEnded) return;
    answered();
    for (const [place, { index }] of asked.entries()) {
      const change = changes[place];
      if (change !== undefined) intake.readAgain(index, change);
    }
    this.#judgeSubscription(asked.map(({ index }) => index));
  }

  /**
   * A subscription may say that all is well and send nothing. It is deaf to a tag when reads have contradicted it
   * several times in a row, over a longer time than its sampling takes.
   */
  #judgeSubscription(indexes: readonly number[]): void {
    const { opened, intake, deaf } = this.#parts;
    const { contradictions, notifiedMs, tags } = intake.table;
    for (const index of indexes) {
      if ((contradictions[index] ?? 0) < CONTRADICTIONS_MAX) continue;
      const samplingMs = Math.max(opened.granted[index]?.samplingIntervalMs ?? 0, 0);
      const patienceMs = 3 * samplingMs + 2 * opened.publishingIntervalMs + 1000;
      const lastMs = Math.max(this.#openedMs, notifiedMs[index] || 0);
      const tag = tags[index]?.tag;
      if (tag === undefined || performance.now() - lastMs < patienceMs) continue;
      deaf(tag);
      return;
    }
  }

  async #askAgain(): Promise<void> {
    const { opened, intake } = this.#parts;
    const refused = [...intake.table.isRefused.entries()].flatMap(([index, flag]) =>
      flag === 1 ? [index] : [],
    );
    if (refused.length > 0) await opened.askAgain(refused);
  }
}

interface Errand {
  readonly what: string;
  readonly everyMs: number;
  dueMs: number;
  isOut: boolean;
  /** A failure is told once, until the errand succeeds again. */
  hasFailed: boolean;
  readonly run: () => Promise<void>;
}
