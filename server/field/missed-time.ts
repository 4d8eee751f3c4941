import type { FaultCode, FaultParts } from '../contract/faults.ts';
import type { TagSink } from '../ports/tag-source.ts';
import { fillStretches, markHoles, tagsWithHistory, type BackfillPlan } from './backfill.ts';
import type { EndpointOptions } from './field-options.ts';
import {
  beginStretches,
  endStretches,
  missingSince,
  type Missing,
  type Stretch,
} from './missed-stretches.ts';
import type { OpcuaLibrary } from './opcua-library.ts';
import type { OpenedConnection } from './plant-connection.ts';
import type { ReadingIntake } from './reading-intake.ts';

export interface MissedTimeParts {
  readonly endpoint: EndpointOptions;
  readonly intake: ReadingIntake;
  readonly sink: TagSink;
  readonly nowMs: () => number;
  readonly recordedUntilMs: (tag: string) => number | null;
  readonly report: (code: FaultCode, parts: FaultParts) => void;
}

interface Connected {
  readonly library: OpcuaLibrary;
  readonly opened: OpenedConnection;
  readonly sinceMs: number;
  history: ReadonlySet<number> | null;
}

/** After so many broken attempts to read history in a row the rest is given up and marked. */
const TROUBLES_MAX = 3;
/** How long to wait after a failed attempt: a historian in trouble must not be pressed. */
const AFTER_TROUBLE_MS = 5000;

/**
 * Keeps account of the time in which tags were not heard and makes it good from the plant's history, behind the
 * live readings: never before the link is live, a few nodes at a time. What cannot be made good becomes a gap.
 */
export class MissedTime {
  readonly #parts: MissedTimeParts;
  #missing: Missing | null = null;
  #connected: Connected | null = null;
  #isFilling = false;
  #troubles = 0;
  #notBeforeMs = 0;
  /** Tags known to have no history; their gap is marked as soon as the link breaks. */
  #withoutHistory: readonly number[] = [];
  readonly #saidRefused = new Set<string>();

  constructor(parts: MissedTimeParts) {
    this.#parts = parts;
  }

  /** Before the first attempt to connect: everything since the newest kept reading is missing. */
  begin(): void {
    this.#missing ??= this.#missingAtStart();
  }

  opened(library: OpcuaLibrary, opened: OpenedConnection): void {
    this.#connected = { library, opened, sinceMs: this.#parts.intake.plantNowMs(), history: null };
    this.#notBeforeMs = performance.now() + 2 * opened.publishingIntervalMs + 500;
  }

  /** The link, or an attempt at it, broke; `heardMs` is when the plant was last heard, by its clock. */
  lost(heardMs: number): void {
    const { intake, endpoint, sink } = this.#parts;
    if (this.#missing === null) return;
    const connected = this.#connected;
    this.#connected = null;
    endStretches(this.#missing, intake.table, connected?.sinceMs ?? heardMs);
    const lostMs = this.#afterLastReading(heardMs);
    const tooMany = beginStretches(this.#missing, intake.table, lostMs);
    markHoles({ endpoint: endpoint.id, tags: intake.table.tags, gap: sink.gap.bind(sink) }, tooMany);
    const tags = this.#withoutHistory.flatMap((index) => intake.table.tags[index]?.tag ?? []);
    if (connected !== null && tags.length > 0) {
      sink.gap({ endpoint: endpoint.id, tags, fromMs: lostMs, toMs: null });
    }
  }

  /** Called often while live; begins to fill when there is something to fill and nothing else is being filled. */
  tick(): void {
    const connected = this.#connected;
    if (connected === null || this.#missing === null) return;
    if (this.#isFilling || performance.now() < this.#notBeforeMs) return;
    endStretches(this.#missing, this.#parts.intake.table, connected.sinceMs);
    if (this.#missing.waiting.length === 0) return;
    this.#isFilling = true;
    void this.#fill(connected, this.#missing).finally(() => {
      this.#isFilling = false;
    });
  }

  async #fill(connected: Connected, missing: Missing): Promise<void> {
    const unfinished = new Set(missing.waiting);
    missing.waiting = [];
    const plan = this.#plan(connected);
    try {
      connected.history ??= await this.#history(plan);
      const { history } = connected;
      const hopeless = [...unfinished].filter(({ index }) => !history.has(index));
      this.#giveUp(plan, hopeless, unfinished);
      await fillStretches(plan, [...unfinished], (finished) => {
        for (const stretch of finished) unfinished.delete(stretch);
        this.#troubles = 0;
      });
    } catch (error) {
      this.#trouble(plan, error, unfinished);
    }
    missing.waiting.unshift(...unfinished);
  }

  async #history(plan: BackfillPlan): Promise<ReadonlySet<number>> {
    const { endpoint, intake } = this.#parts;
    const history = endpoint.backfillMsMax > 0 ? await tagsWithHistory(plan) : new Set<number>();
    this.#withoutHistory = [...intake.table.tags.keys()].filter((index) => !history.has(index));
    return history;
  }

  #trouble(plan: BackfillPlan, error: unknown, unfinished: Set<Stretch>): void {
    this.#troubles++;
    this.#notBeforeMs = performance.now() + AFTER_TROUBLE_MS;
    const isGivenUp = this.#troubles >= TROUBLES_MAX;
    this.#parts.report('BACKFILL_REFUSED', {
      subject: `endpoint ${plan.endpoint}`,
      got: error instanceof Error ? error.message : String(error),
      expected: 'an answer to reading its history',
      remedy: isGivenUp ? 'what was missed stays a gap' : 'it is asked again',
    });
    if (!isGivenUp) return;
    this.#troubles = 0;
    this.#giveUp(plan, [...unfinished], unfinished);
  }

  #giveUp(plan: BackfillPlan, stretches: readonly Stretch[], unfinished: Set<Stretch>): void {
    for (const stretch of stretches) unfinished.delete(stretch);
    // The gap that was marked as beginning when the link broke is now marked as ended.
    const holes = stretches.map((stretch) => ({ ...stretch, fromMs: stretch.lostMs ?? stretch.fromMs }));
    markHoles(
      plan,
      holes.filter(({ fromMs, toMs }) => fromMs < toMs),
    );
  }

  #plan({ library, opened }: Connected): BackfillPlan {
    const { endpoint, intake, sink, nowMs } = this.#parts;
    return {
      library,
      session: opened.session,
      endpoint: endpoint.id,
      tags: intake.table.tags,
      nodeIds: opened.nodeIds,
      nodesPerRead: opened.facts.nodesPerRead,
      nodesPerHistoryRead: opened.facts.nodesPerHistoryRead,
      oldestMs: intake.plantNowMs() - endpoint.backfillMsMax,
      nowMs,
      backfill: sink.backfill.bind(sink),
      gap: sink.gap.bind(sink),
      refused: (tag, why) => {
        this.#refused(tag, why);
      },
    };
  }

  #refused(tag: string, why: string): void {
    if (this.#saidRefused.has(tag)) return;
    this.#saidRefused.add(tag);
    this.#parts.report('BACKFILL_REFUSED', {
      subject: `tag ${tag}`,
      got: why,
      expected: 'the history that its access level offers',
      remedy: 'what was missed stays a gap',
    });
  }

  #missingAtStart(): Missing {
    const { intake, recordedUntilMs } = this.#parts;
    return missingSince(intake.table.tags.map(({ tag }) => recordedUntilMs(tag)));
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
