import type { ClientSession, DataValue } from 'node-opcua';
import { chunksOf } from './chunks-of.ts';
import type { DataValueLike } from './to-reading.ts';

/**
 * All that this room may ask of a plant. The library's session can also write values and call methods; behind
 * this type nothing can.
 */
export type PlantSession = Pick<ClientSession, 'read' | 'historyRead'>;

/** What a server says of itself when we come in; its limits are Infinity where it sets none. */
export interface ServerFacts {
  readonly namespaces: readonly string[];
  readonly nodesPerRead: number;
  readonly itemsPerCall: number;
  readonly nodesPerHistoryRead: number;
}

/** Node ids of the standard's own namespace, OPC UA Part 6, annex A. */
const SERVER_NAMESPACE_ARRAY = 'i=2255';
const SERVER_CURRENT_TIME = 'i=2258';
const LIMIT_NODES_PER_READ = 'i=11705';
const LIMIT_ITEMS_PER_CALL = 'i=11714';
const LIMIT_NODES_PER_HISTORY_READ = 'i=12165';

const ATTRIBUTE_VALUE = 13;
export const ATTRIBUTE_USER_ACCESS_LEVEL = 18;

/** One by one, 300 items took as long as 10,000 in chunks of this size. */
const CHUNK = 1000;

export async function serverFacts(session: PlantSession): Promise<ServerFacts> {
  const nodes = [
    SERVER_NAMESPACE_ARRAY,
    LIMIT_NODES_PER_READ,
    LIMIT_ITEMS_PER_CALL,
    LIMIT_NODES_PER_HISTORY_READ,
  ];
  const [array, read, items, history] = await readAttribute(session, { nodes, attribute: ATTRIBUTE_VALUE });
  return {
    namespaces: textList(array),
    nodesPerRead: limit(read),
    itemsPerCall: limit(items),
    nodesPerHistoryRead: limit(history),
  };
}

/** The plant's clock, or null when it does not tell. */
export async function plantTime(session: PlantSession): Promise<number | null> {
  const [time] = await readAttribute(session, { nodes: [SERVER_CURRENT_TIME], attribute: ATTRIBUTE_VALUE });
  const value: unknown = time?.value?.value;
  return value instanceof Date ? value.getTime() : null;
}

export interface AttributeRequest {
  readonly nodes: readonly string[];
  readonly attribute?: number;
  /** The server's own limit. */
  readonly nodesPerRead?: number;
}

/** Reads one attribute, the value if not told otherwise, of many nodes; answers in the order asked. */
export async function readAttribute(
  session: PlantSession,
  request: AttributeRequest,
): Promise<readonly DataValueLike[]> {
  const attributeId = request.attribute ?? ATTRIBUTE_VALUE;
  const size = Math.min(CHUNK, request.nodesPerRead ?? CHUNK);
  const answers: DataValue[] = [];
  for (const chunk of chunksOf(request.nodes, size)) {
    answers.push(...(await session.read(chunk.map((nodeId) => ({ nodeId, attributeId })))));
  }
  return answers;
}

/** How many items to ask for in one call. */
export function itemsInOneCall(facts: ServerFacts): number {
  return Math.min(CHUNK, facts.itemsPerCall);
}

function textList(answer: DataValueLike | undefined): readonly string[] {
  const value: unknown = answer?.value?.value;
  if (!Array.isArray(value)) return [];
  return value.filter((entry): entry is string => typeof entry === 'string');
}

/** Zero or nothing means that the server sets no limit. */
function limit(answer: DataValueLike | undefined): number {
  const value: unknown = answer?.value?.value;
  return typeof value === 'number' && value > 0 ? value : Infinity;
}
