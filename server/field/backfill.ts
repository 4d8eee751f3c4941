import type { Reading } from '../contract/reading.ts';
import type { LinkGap, TagAddress } from '../ports/tag-source.ts';
import { historyPages, type HistoryPage } from './history-pages.ts';
import { holesOf, type Stretch } from './missed-stretches.ts';
import type { OpcuaLibrary } from './opcua-library.ts';
import { ATTRIBUTE_USER_ACCESS_LEVEL, readAttribute, type PlantSession } from './plant-session.ts';
import { sourceTime, toReading, type DataValueLike } from './to-reading.ts';

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
  /** Source times given back so far of each stretch, for whoever has to go on after an interruption. */
  readonly timesOf: Map<Stretch, number[]>;
  readonly isInterrupted: () => boolean;
  readonly backfill: (batch: readonly Reading[]) => void;
  readonly gap: (gap: LinkGap) => void;
  /** Said of each tag, by index, whose history the plant offers and then refuses. */
  readonly refused: (index: number, why: string) => void;
}

/** Few nodes at once: an answer of 5,000 values is decoded in some 10 ms, which the live readings do not notice. */
const NODES_IN_CALL = 5;
/** Stretches that begin within this are asked for in one call. */
const TOGETHER_MS = 60_000;
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
 * time is not inside their stretch are kept already and dropped. Throws when the plant stops answering; `finished`
 * tells what needs not be asked for again.
 */
export async function fillStretches(
  plan: BackfillPlan,
  stretches: readonly Stretch[],
  finished: (stretches: readonly Stretch[]) => void,
): Promise<void> {
  for (const group of askedTogether(stretches, Math.min(NODES_IN_CALL, plan.nodesPerHistoryRead))) {
    await fillGroup(plan, group);
    if (plan.isInterrupted()) return;
    const holes = group.flatMap((stretch) =>
      holesOf(
        stretch,
        plan.timesOf.get(stretch) ?? [],
        plan.tags[stretch.index]?.staleAfterMs ?? Infinity,
      ).map((hole) => ({ ...stretch, ...hole })),
    );
    markHoles(plan, holes, plan.gap);
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
  if (page.refused !== null) plan.refused(stretch.index, page.refused);
  const times = plan.timesOf.get(stretch) ?? [];
  plan.timesOf.set(stretch, times);
  const batch = missedReadings(page.changes, {
    plan,
    stretch,
    address,
    lastMs: times.at(-1) ?? stretch.fromMs,
  });
  for (const reading of batch) times.push(reading.sourceTimeMs);
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
