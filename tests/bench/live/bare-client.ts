/**
 * The yardstick: a subscription of node-opcua on the same items, and nothing else. Started as a process of its own
 * with url, namespace, item count, publishing and sampling interval; "open" begins the measuring, "end" answers with it.
 */
import {
  AttributeIds,
  ClientSubscription,
  OPCUAClient,
  TimestampsToReturn,
  type ClientMonitoredItemGroup,
} from 'node-opcua';
import { latencyLog } from './latency-log.ts';

const CHUNK = 1000;
const [url = '', namespace = '', count = '0', publishingMs = '0', samplingMs = '0'] = process.argv.slice(2);
const log = latencyLog();
let cpuAtOpening = process.cpuUsage();

const client = OPCUAClient.create({ endpointMustExist: true, connectionStrategy: { maxRetry: 2 } });
await client.connect(url);
const session = await client.createSession();
const namespaceIndex = (await session.readNamespaceArray()).indexOf(namespace);
const subscription = ClientSubscription.create(session, {
  requestedPublishingInterval: Number(publishingMs),
  requestedMaxKeepAliveCount: 10,
  requestedLifetimeCount: 100,
  publishingEnabled: true,
  maxNotificationsPerPublish: 0,
  priority: 0,
});
for (let first = 1; first <= Number(count); first += CHUNK) await listen(first);
process.send?.('ready');

process.on('message', (word) => {
  if (word === 'open') {
    log.open();
    cpuAtOpening = process.cpuUsage();
    return;
  }
  const cpu = process.cpuUsage(cpuAtOpening);
  const answer = {
    count: log.count,
    deliveredRatio: log.deliveredRatio(Number(count)),
    cpuMs: (cpu.user + cpu.system) / 1000,
    p50Ms: log.percentile(0.5),
    p99Ms: log.percentile(0.99),
  };
  process.send?.(answer, () => process.exit(0));
});
process.on('disconnect', () => process.exit(0));

async function listen(first: number): Promise<ClientMonitoredItemGroup> {
  const size = Math.min(CHUNK, Number(count) - first + 1);
  const items = Array.from({ length: size }, (_, index) => ({
    nodeId: `ns=${namespaceIndex};s=Synthetic.Value${first + index}`,
    attributeId: AttributeIds.Value,
  }));
  const parameters = { samplingInterval: Number(samplingMs), queueSize: 20, discardOldest: true };
  const group = await subscription.monitorItems(items, parameters, TimestampsToReturn.Both);
  group.on('changed', (_item, value) => {
    log.add(
      { sourceTimeMs: value.sourceTimestamp?.getTime() ?? 0, value: Number(value.value.value) },
      Date.now(),
    );
  });
  return group;
}
