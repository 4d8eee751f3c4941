import type {
  ClientMonitoredItemBase,
  ClientSession,
  ClientSubscription,
  DataValue,
  MonitoringParametersOptions,
} from 'node-opcua';
import type { EndpointOptions } from './field-options.ts';
import type { OpcuaLibrary } from './opcua-library.ts';

/** A node to be told of, and the index of the tag that it stands for. */
export interface NodeOfTag {
  readonly index: number;
  readonly nodeId: string;
}

export interface SubscriptionListener {
  /** A publish response of any kind came: readings or a keep-alive. */
  heard(): void;
  changed(index: number, change: DataValue): void;
  refused(index: number, why: string): void;
  broken(because: string): void;
}

/** What the plant made of the sampling and the queue that were asked for. */
export interface GrantedSampling {
  readonly samplingIntervalMs: number;
  readonly queueSize: number;
}

/** Keep-alives come at every third publishing interval at least; the library takes no smaller count. */
const KEEP_ALIVE_COUNT = 3;
/** How long the plant keeps a subscription that nobody fetches from, in keep-alives. */
const LIFETIME_KEEP_ALIVES = 10;
const QUEUE_SIZE_MIN = 20;

export async function subscribe(
  session: Pick<ClientSession, 'createSubscription2'>,
  endpoint: EndpointOptions,
  listener: SubscriptionListener,
): Promise<ClientSubscription> {
  const subscription = await session.createSubscription2({
    requestedPublishingInterval: endpoint.publishingIntervalMs,
    requestedMaxKeepAliveCount: KEEP_ALIVE_COUNT,
    requestedLifetimeCount: KEEP_ALIVE_COUNT * LIFETIME_KEEP_ALIVES,
    publishingEnabled: true, // Left out, it is false, and the subscription stays silent for ever.
    maxNotificationsPerPublish: 0,
    priority: 0,
  });
  subscription.on('keepalive', () => {
    listener.heard();
  });
  subscription.on('received_notifications', () => {
    listener.heard();
  });
  subscription.on('terminated', () => {
    listener.broken('subscription ended');
  });
  subscription.on('status_changed', (status) => {
    listener.broken(`subscription became ${status.name}`);
  });
  subscription.on('internal_error', (error) => {
    listener.broken(`subscription failed: ${error.message}`);
  });
  return subscription;
}

/** Asks to be told of these nodes, in one call. Answers with what the plant granted for each, null where it refused. */
export async function monitor(
  subscription: ClientSubscription,
  request: { library: OpcuaLibrary; nodes: readonly NodeOfTag[]; endpoint: EndpointOptions },
  listener: SubscriptionListener,
): Promise<readonly (GrantedSampling | null)[]> {
  const { library, nodes, endpoint } = request;
  const { Value } = library.AttributeIds;
  const group = await subscription.monitorItems(
    nodes.map(({ nodeId }) => ({ nodeId, attributeId: Value })),
    requestedParameters(endpoint),
    library.TimestampsToReturn.Both,
  );
  const indexes = nodes.map(({ index }) => index);
  group.on('changed', (_item, change, place) => {
    listener.changed(indexes[place] ?? -1, change);
  });
  return nodes.map(({ index }, place) => granted(group.monitoredItems[place], index, listener));
}

function requestedParameters(endpoint: EndpointOptions): MonitoringParametersOptions {
  const samplesInPublish = endpoint.publishingIntervalMs / Math.max(endpoint.samplingIntervalMs, 1);
  return {
    samplingInterval: endpoint.samplingIntervalMs,
    queueSize: Math.max(QUEUE_SIZE_MIN, Math.ceil(4 * samplesInPublish)),
    discardOldest: true,
  };
}

/** `monitorItems` resolves even when the plant knows none of the nodes: each item's own status counts. */
function granted(
  item: ClientMonitoredItemBase | undefined,
  index: number,
  listener: SubscriptionListener,
): GrantedSampling | null {
  const status = item?.statusCode;
  if (item?.result === undefined || status === undefined || status.value >>> 30 === 2) {
    listener.refused(index, status?.name ?? 'no answer');
    return null;
  }
  return {
    samplingIntervalMs: item.result.revisedSamplingInterval,
    queueSize: item.result.revisedQueueSize,
  };
}
