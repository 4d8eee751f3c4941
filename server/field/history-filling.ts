import type { TagSink } from '../ports/tag-source.ts';
import { fillStretches, markHoles, tagsWithHistory, type BackfillPlan } from './backfill.ts';
import type { EndpointOptions } from './field-options.ts';
import type { Stretch } from './missed-stretches.ts';
import type { OpcuaLibrary } from './opcua-library.ts';
import type { OpenedConnection } from './plant-connection.ts';
import type { ReadingIntake } from './reading-intake.ts';

export interface FillingParts {
  readonly endpoint: EndpointOptions;
  readonly intake: ReadingIntake;
  readonly sink: TagSink;
  readonly nowMs: () => number;
  /** When the plant's historian is known to have been at work; outlives a filling. */
  readonly recorded: BackfillPlan['recorded'];
}

const WITNESSES_MAX = 10;

/** One live connection, and which of its tags have a history, once that is known. */
export interface Connected {
  readonly library: OpcuaLibrary;
  readonly opened: OpenedConnection;
  /** When it became live, by our clock: how the plant's stands to it is measured only after that. */
  readonly sinceMs: number;
  history: Set<number> | null;
}

/** One run of asking the plant's history for what was missed. It may be interrupted, and then says what is left. */
export class HistoryFilling {
  readonly refusals = new Map<number, string>();
  readonly #parts: FillingParts;
  readonly #connected: Connected;
  readonly #unfinished: Set<Stretch>;
  readonly #plan: BackfillPlan;
  #isInterrupted = false;
  #hasAchieved = false;

  constructor(parts: FillingParts, connected: Connected, stretches: readonly Stretch[]) {
    this.#parts = parts;
    this.#connected = connected;
    this.#unfinished = new Set(stretches);
    this.#plan = this.#planned();
  }

  /** Whether anything was given back or finished: a plant that answers slowly is not one that does not answer. */
  get hasAchieved(): boolean {
    return this.#hasAchieved;
  }

  /** Resolves when every stretch is filled or marked; rejects when the plant does not answer. */
  async run(): Promise<void> {
    this.#connected.history ??= await this.#tagsWithHistory();
    const { history } = this.#connected;
    this.#finish([...this.#unfinished].filter(({ index }) => !history.has(index)));
    const stages = busiestFirst([...this.#unfinished], this.#parts.intake.table.count);
    await fillStretches(this.#plan, stages, (finished) => {
      for (const stretch of finished) this.#unfinished.delete(stretch);
      this.#hasAchieved = true;
    });
    for (const index of this.refusals.keys()) history.delete(index);
  }

  /** Ends the run: nothing is delivered any more. Answers with what is left to be filled by a later one. */
  interrupt(): readonly Stretch[] {
    this.#isInterrupted = true;
    return [...this.#unfinished].map((stretch) => {
      const progress = this.#plan.progressOf.get(stretch);
      if (progress === undefined) return stretch;
      return { ...stretch, fromMs: progress.lastMs, before: progress.state, lostMs: null, isHeld: false };
    });
  }

  async #tagsWithHistory(): Promise<Set<number>> {
    return this.#parts.endpoint.backfillMsMax > 0 ? new Set(await tagsWithHistory(this.#plan)) : new Set();
  }

  #finish(hopeless: readonly Stretch[]): void {
    for (const stretch of hopeless) this.#unfinished.delete(stretch);
    markStretches(this.#parts, hopeless);
  }

  #planned(): BackfillPlan {
    const { endpoint, intake, sink, nowMs } = this.#parts;
    const { library, opened } = this.#connected;
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
      progressOf: new Map(),
      recorded: this.#parts.recorded,
      refusals: this.refusals,
      isInterrupted: () => this.#isInterrupted,
      backfill: (batch) => {
        this.#hasAchieved = true;
        sink.backfill(batch);
      },
      gap: (gap) => {
        sink.gap(gap);
      },
    };
  }
}

/** The stretches of the few busiest tags, which show when the plant was at work, before those of all others. */
export function busiestFirst(
  stretches: readonly Stretch[],
  count: Readonly<Uint32Array>,
): readonly (readonly Stretch[])[] {
  const countOf = ({ index }: Stretch) => count[index] ?? 0;
  const sorted = [...stretches].sort((a, b) => countOf(b) - countOf(a));
  const most = sorted[0] === undefined ? 0 : countOf(sorted[0]);
  const busy = sorted.slice(0, WITNESSES_MAX).filter((stretch) => countOf(stretch) * 2 >= most);
  return [busy, sorted.slice(busy.length)];
}

/** Marks stretches that nothing can fill: from when the link broke, where it did, so that an open gap is ended. */
export function markStretches(
  { endpoint, intake, sink }: Pick<FillingParts, 'endpoint' | 'intake' | 'sink'>,
  stretches: readonly Stretch[],
): void {
  const holes = stretches
    .map((stretch) => ({ ...stretch, fromMs: stretch.lostMs ?? stretch.fromMs }))
    .filter(({ fromMs, toMs }) => fromMs < toMs);
  markHoles({ endpoint: endpoint.id, tags: intake.table.tags }, holes, (gap) => {
    sink.gap(gap);
  });
}
