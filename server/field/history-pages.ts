import type { HistoryReadResult } from 'node-opcua';
import type { OpcuaLibrary } from './opcua-library.ts';
import type { PlantSession } from './plant-session.ts';
import { sourceTime, type DataValueLike } from './to-reading.ts';

export interface HistoryQuestion {
  readonly nodeIds: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
}

/** One page of one node's history: its place among the nodes asked for, and what came. */
export interface HistoryPage {
  readonly place: number;
  readonly changes: readonly DataValueLike[];
  /** Why the plant gave nothing, or null. */
  readonly refused: string | null;
}

interface Pending {
  readonly place: number;
  readonly nodeId: string;
  readonly continuationPoint: Buffer | null;
  /** Newest source time so far. */
  readonly newestMs: number;
}

const VALUES_IN_PAGE = 1000;
/** A historian may take its time; the live link is not judged by it. */
const ANSWER_MS_MAX = 20_000;
/** A server that goes on giving continuation points without end is not asked for ever: ten million values. */
const PAGES_MAX = 10_000;

/**
 * Reads the plant's history page by page. The standard lets a server cut an answer anywhere and go on from a
 * continuation point; the library leaves following it to the caller. Pages of one node come in order.
 */
export async function* historyPages(
  library: OpcuaLibrary,
  session: PlantSession,
  question: HistoryQuestion,
): AsyncGenerator<HistoryPage> {
  let pending: readonly Pending[] = question.nodeIds.map((nodeId, place) => ({
    place,
    nodeId,
    continuationPoint: null,
    newestMs: -Infinity,
  }));
  for (let round = 0; pending.length > 0 && round < PAGES_MAX; round++) {
    const results = await ask(library, session, { question, pending });
    const next: Pending[] = [];
    for (const [at, asked] of pending.entries()) {
      const page = pageOf(asked, results[at]);
      yield page;
      const newestMs = newestOf(page, asked.newestMs);
      const continuationPoint = results[at]?.continuationPoint ?? null;
      if (page.refused !== null || continuationPoint === null || continuationPoint.length === 0) continue;
      next.push({ ...asked, continuationPoint, newestMs });
    }
    pending = next;
  }
}

async function ask(
  library: OpcuaLibrary,
  session: PlantSession,
  { question, pending }: { question: HistoryQuestion; pending: readonly Pending[] },
): Promise<readonly HistoryReadResult[]> {
  const request = new library.HistoryReadRequest({
    requestHeader: { timeoutHint: ANSWER_MS_MAX },
    historyReadDetails: new library.ReadRawModifiedDetails({
      isReadModified: false,
      startTime: new Date(question.fromMs),
      endTime: new Date(question.toMs),
      numValuesPerNode: VALUES_IN_PAGE,
      returnBounds: false,
    }),
    nodesToRead: pending.map(({ nodeId, continuationPoint }) => ({
      nodeId: library.resolveNodeId(nodeId),
      ...(continuationPoint === null ? {} : { continuationPoint }),
    })),
    releaseContinuationPoints: false,
    timestampsToReturn: library.TimestampsToReturn.Both,
  });
  const response = await session.historyRead(request);
  return response.results ?? [];
}

function pageOf({ place, newestMs }: Pending, result: HistoryReadResult | undefined): HistoryPage {
  if (result === undefined || result.statusCode.value >>> 30 === 2) {
    return { place, changes: [], refused: result?.statusCode.name ?? 'no answer' };
  }
  const page = { place, changes: changesOf(result.historyData), refused: null };
  const isStuck = page.changes.length > 0 && newestOf(page, -Infinity) <= newestMs;
  return isStuck ? { place, changes: [], refused: 'the same page twice' } : page;
}

function newestOf(page: HistoryPage, soFarMs: number): number {
  return page.changes.reduce(
    (newestMs, change) => Math.max(newestMs, sourceTime(change) ?? -Infinity),
    soFarMs,
  );
}

function changesOf(historyData: unknown): readonly DataValueLike[] {
  if (typeof historyData !== 'object' || historyData === null || !('dataValues' in historyData)) return [];
  return Array.isArray(historyData.dataValues) ? (historyData.dataValues as readonly DataValueLike[]) : [];
}
