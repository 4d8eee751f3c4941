import type { LinkGap, TagSink } from '../ports/tag-source.ts';
import { fillStretches, markHoles, tagsWithHistory, type BackfillPlan } from './backfill.ts';
import type { EndpointOptions } from './field-options.ts';
import { holesOf, type Stretch } from './missed-stretches.ts';
import type { OpcuaLibrary } from './opcua-library.ts';
import type { OpenedConnection } from './plant-connection.ts';
import type { ReadingIntake } from './reading-intake.ts';

export interface FillingParts {
  readonly endpoint: EndpointOptions;
  readonly intake: ReadingIntake;
  readonly sink: TagSink;
  readonly nowMs: () => number;
}

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
  /** Why the plant gave no history of a tag whose access level offers it, by the tag's index. */
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
    await fillStretches(this.#plan, [...this.#unfinished], (finished) => {
      for (const stretch of finished) this.#unfinished.delete(stretch);
      this.#hasAchieved = true;
    });
    for (const index of this.refusals.keys()) history.delete(index);
  }

  /** Ends the run: nothing is delivered any more. Answers with what is left to be filled by a later one. */
  interrupt(): readonly Stretch[] {
    this.#isInterrupted = true;
    const left: Stretch[] = [];
    for (const stretch of this.#unfinished) {
      const times = this.#plan.timesOf.get(stretch) ?? [];
      const lastMs = times.at(-1);
      if (lastMs === undefined) {
        left.push(stretch);
        continue;
      }
      this.#markUnknown({ ...stretch, toMs: lastMs }, times.slice(0, -1));
      left.push({ ...stretch, fromMs: lastMs, lostMs: null, isHeld: false });
    }
    return left;
  }

  async #tagsWithHistory(): Promise<Set<number>> {
    return this.#parts.endpoint.backfillMsMax > 0 ? new Set(await tagsWithHistory(this.#plan)) : new Set();
  }

  #finish(hopeless: readonly Stretch[]): void {
    for (const stretch of hopeless) this.#unfinished.delete(stretch);
    markStretches(this.#parts, hopeless);
  }

  #markUnknown(stretch: Stretch, times: readonly number[]): void {
    const staleAfterMs = this.#plan.tags[stretch.index]?.staleAfterMs ?? Infinity;
    const holes = holesOf(stretch, times, staleAfterMs).map((hole) => ({ ...stretch, ...hole }));
    // Without any value in between, a stretch that ends with a value given back is known up to the allowed age.
    markHoles(
      this.#plan,
      holes.filter(({ fromMs, toMs }) => toMs - fromMs > staleAfterMs),
      this.#gap,
    );
  }

  readonly #gap = (gap: LinkGap): void => {
    this.#parts.sink.gap(gap);
  };

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
      timesOf: new Map(),
      isInterrupted: () => this.#isInterrupted,
      backfill: (batch) => {
        this.#hasAchieved = true;
        sink.backfill(batch);
      },
      gap: this.#gap,
      refused: (index, why) => {
        this.refusals.set(index, why);
      },
    };
  }
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
