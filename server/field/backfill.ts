import type { Reading } from '../contract/reading.ts';
import type { LinkGap, TagAddress } from '../ports/tag-source.ts';
import { chunksOf } from './chunks-of.ts';
import { historyPages, type HistoryPage } from './history-pages.ts';
import type { Stretch, TagState } from './missed-stretches.ts';
import type { OpcuaLibrary } from './opcua-library.ts';
import {
  heldTimes,
  heldUntilMs,
  mergedSpans,
  spansOf,
  wasRecorded,
  type RecordedTime,
} from './recorded-time.ts';
import { ATTRIBUTE_USER_ACCESS_LEVEL, readAttribute, type PlantSession } from './plant-session.ts';
import { sourceTime, toReading, type DataValueLike } from './to-reading.ts';

/** The last of a stretch that has been given back. */
export interface Progress {
  readonly lastMs: number;
  readonly state: TagState | null;
}

/** The plant to ask, by one connection, and where to put what it gives back. */
export interface BackfillPlan {
  readonly library: OpcuaLibrary;
  readonly session: PlantSession;
  readonly endpoint: string;
  readonly tags: readonly TagAddress[];
  /** Of each tag, on this connection. */
  readonly nodeIds: readonly (string | null)[];
  readonly nodesPerRead: number;
  readonly nodesPerHistoryRead: number;
  /** The plant's history is asked for nothing older than this, by the plant's clock. */
  readonly oldestMs: number;
  readonly nowMs: () => number;
  /** How far each stretch has come, for whoever has to go on after an interruption. */
  readonly progressOf: Map<Stretch, Progress>;
  /** When the plant's historian is known to have been at work; grows with each answer. */
  readonly recorded: { spans: RecordedTime };
  readonly isInterrupted: () => boolean;
  readonly backfill: (batch: readonly Reading[]) => void;
  readonly gap: (gap: LinkGap) => void;
  /** Why the plant gave no history of a tag whose access level offers it, by the tag's index. */
  readonly refusals: Map<number, string>;
}

/** Few nodes at once: an answer of 5,000 values is decoded in some 10 ms, which the live readings do not notice. */
const NODES_IN_CALL = 5;
/** Stretches that begin within this are asked for in one call. */
const TOGETHER_MS = 60_000;
/** Values of all tags together that are no further apart than this show a historian at work without a pause. */
const JOINED_MS = 1000;
const HELD_IN_BATCH = 1000;
/** HistoryRead in an access level, OPC UA Part 3, 8.57. */
const HISTORY_READ_BIT = 0x04;

/** Which tags have a history to read, by index: those whose access level, for us, says so. */
export async function tagsWithHistory(
  plan: Pick<BackfillPlan, 'session' | 'nodeIds' | 'nodesPerRead'>,
): Promise<ReadonlySet<number>> {
  const known = plan.nodeIds.flatMap((nodeId, index) => (nodeId === null ? [] : [{ nodeId, index }]));
  const levels = await readAttribute(plan.session, {
    nodes: known.map(({ nodeId }) => nodeId),
    attribute: ATTRIBUTE_USER_ACCESS_LEVEL,
    nodesPerRead: plan.nodesPerRead,
  });
  return new Set(known.filter((_, place) => offersHistory(levels[place])).map(({ index }) => index));
}

/**
 * Gives back what the plant's history has of these stretches, and marks what it has not. Readings whose source
 * time is not inside their stretch are kept already and dropped. One stage comes after the other: the tags of the
 * first show when the historian was at work, and with that what the absence of a value means for the others. Throws when the plant
 * stops answering; `finished` tells what needs not be asked for again.
 */
export async function fillStretches(
  plan: BackfillPlan,
  stages: readonly (readonly Stretch[])[],
  finished: (stretches: readonly Stretch[]) => void,
): Promise<void> {
  const nodesMax = Math.min(NODES_IN_CALL, plan.nodesPerHistoryRead);
  for (const group of stages.flatMap((stage) => askedTogether(stage, nodesMax))) {
    await fillGroup(plan, group);
    if (plan.isInterrupted()) return;
    markHoles(
      plan,
      group.flatMap((stretch) => bridged(plan, stretch, stretch.toMs)),
      plan.gap,
    );
    finished(group);
  }
}

/** Marks holes as gaps: the tags that share one in one gap. */
export function markHoles(
  { endpoint, tags }: Pick<BackfillPlan, 'endpoint' | 'tags'>,
  holes: readonly Stretch[],
  mark: (gap: LinkGap) => void,
): void {
  const tagsOfHole = new Map<string, { tags: string[]; fromMs: number; toMs: number }>();
  for (const { index, fromMs, toMs } of holes) {
    const tag = tags[index]?.tag;
    if (tag === undefined || fromMs === -Infinity) continue;
    const key = `${fromMs} ${toMs}`;
    const hole = tagsOfHole.get(key) ?? { tags: [], fromMs, toMs };
    hole.tags.push(tag);
    tagsOfHole.set(key, hole);
  }
  for (const hole of tagsOfHole.values()) mark({ endpoint, ...hole });
}

async function fillGroup(plan: BackfillPlan, group: readonly Stretch[]): Promise<void> {
  const question = {
    nodeIds: group.map(({ index }) => plan.nodeIds[index] ?? ''),
    fromMs: Math.max(plan.oldestMs, Math.min(...group.map(({ fromMs }) => fromMs))),
    toMs: Math.max(...group.map(({ toMs }) => toMs)),
  };
  if (question.fromMs >= question.toMs) return;
  for await (const page of historyPages(plan.library, plan.session, question)) {
    if (plan.isInterrupted()) return;
    const stretch = group[page.place];
    if (stretch !== undefined) takePage(plan, stretch, page);
  }
}

function takePage(plan: BackfillPlan, stretch: Stretch, page: HistoryPage): void {
  const address = plan.tags[stretch.index];
  if (address === undefined) return;
  if (page.refused !== null) plan.refusals.set(stretch.index, page.refused);
  const { lastMs } = progress(plan, stretch);
  const readings = missedReadings(page.changes, { plan, stretch, address, lastMs });
  const times = readings.map(({ sourceTimeMs }) => sourceTimeMs);
  plan.recorded.spans = mergedSpans(plan.recorded.spans, spansOf(times, JOINED_MS), JOINED_MS);

  let batch: Reading[] = [];
  for (const reading of readings) {
    if (reading.sourceTimeMs - progress(plan, stretch).lastMs > address.staleAfterMs) {
      giveBack(plan, batch);
      batch = [];
      markHoles(plan, bridged(plan, stretch, reading.sourceTimeMs), plan.gap);
    }
    batch.push(reading);
    plan.progressOf.set(stretch, { lastMs: reading.sourceTimeMs, state: reading });
  }
  giveBack(plan, batch);
}

/**
 * Bridges the time from the last reading of a stretch to its next: the value is told again for as long as it is
 * known to have stood still, and what then remains is answered as a hole.
 */
function bridged(plan: BackfillPlan, stretch: Stretch, toMs: number): readonly Stretch[] {
  const { lastMs, state } = progress(plan, stretch);
  const { tag, staleAfterMs } = plan.tags[stretch.index] ?? { tag: '', staleAfterMs: Infinity };
  if (lastMs === -Infinity) return [];
  if (state === null || plan.refusals.has(stretch.index)) return [{ ...stretch, fromMs: lastMs, toMs }];

  const { spans } = plan.recorded;
  const isUnproven =
    lastMs === stretch.fromMs && !stretch.isHeld && !wasRecorded(spans, { fromMs: lastMs, toMs });
  const knownMs = isUnproven ? lastMs : heldUntilMs(spans, { fromMs: lastMs, toMs }, staleAfterMs);
  const arrivalMs = plan.nowMs();
  for (const chunk of chunksOf(heldTimes({ fromMs: lastMs, toMs: knownMs }, staleAfterMs), HELD_IN_BATCH)) {
    giveBack(
      plan,
      chunk.map((sourceTimeMs) => ({
        tag,
        sourceTimeMs,
        arrivalMs,
        value: state.value,
        quality: state.quality,
      })),
    );
  }
  return knownMs < toMs ? [{ ...stretch, fromMs: knownMs, toMs }] : [];
}

function progress(plan: BackfillPlan, stretch: Stretch): Progress {
  return plan.progressOf.get(stretch) ?? { lastMs: stretch.fromMs, state: stretch.before };
}

function giveBack(plan: BackfillPlan, batch: readonly Reading[]): void {
  if (batch.length > 0) plan.backfill(batch);
}

interface Filling {
  readonly plan: BackfillPlan;
  readonly stretch: Stretch;
  readonly address: TagAddress;
  readonly lastMs: number;
}

/** Those of a page that were missed, ascending, each source time once. */
function missedReadings(changes: readonly DataValueLike[], filling: Filling): readonly Reading[] {
  const { plan, stretch, address } = filling;
  const arrival = { arrivalMs: plan.nowMs(), clockOffsetMs: 0 };
  const readings = changes
    .filter((change) => sourceTime(change) !== null)
    .map((change) => toReading(change, address, arrival))
    .sort((a, b) => a.sourceTimeMs - b.sourceTimeMs);
  let lastMs = filling.lastMs;
  return readings.filter(({ sourceTimeMs }) => {
    const isMissed = sourceTimeMs > lastMs && sourceTimeMs < stretch.toMs && sourceTimeMs >= plan.oldestMs;
    if (isMissed) lastMs = sourceTimeMs;
    return isMissed;
  });
}

function askedTogether(stretches: readonly Stretch[], nodesMax: number): readonly (readonly Stretch[])[] {
  const groups: Stretch[][] = [];
  for (const stretch of [...stretches].sort((a, b) =>
    a.fromMs === b.fromMs ? a.toMs - b.toMs : a.fromMs < b.fromMs ? -1 : 1,
  )) {
    const group = groups.at(-1);
    const first = group?.[0];
    if (group && first && group.length < nodesMax && isNear(first, stretch)) group.push(stretch);
    else groups.push([stretch]);
  }
  return groups;
}

function isNear(one: Stretch, other: Stretch): boolean {
  return (
    (one.fromMs === other.fromMs || Math.abs(one.fromMs - other.fromMs) <= TOGETHER_MS) &&
    Math.abs(one.toMs - other.toMs) <= TOGETHER_MS
  );
}

function offersHistory(level: DataValueLike | undefined): boolean {
  const value: unknown = level?.value?.value;
  return typeof value === 'number' && (value & HISTORY_READ_BIT) !== 0;
}
