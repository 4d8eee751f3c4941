/** How fast the simulated plant runs in-process, and what its OPC UA face costs in real time. */
import { readFileSync } from 'node:fs';
import { cpus, totalmem } from 'node:os';
import { AttributeIds, ClientSubscription, OPCUAClient, TimestampsToReturn } from 'node-opcua';
import { PLANT_NAMESPACE_URI } from '#simulator/catalogue.ts';
import { simulatedPlant, stepOnce } from '#simulator/simulated-plant.ts';
import { balanceOf } from '#simulator/truth/balance.ts';
import { freePort, startSimulator } from '#tests/simulator/simulator-process.ts';

const SHIFT_S = 8 * 3600;
const WATCH_S = 20;
const MS_PER_CLOCK_TICK = 10;

interface InProcess {
  readonly seconds: number;
  readonly timesRealTime: number;
  readonly missingRatio: number;
}

interface Face {
  readonly tags: number;
  readonly changesPerSecond: number;
  /** Null where the system does not tell what another process used. */
  readonly corePercent: number | null;
}

const inProcess = runShift();
const face = await watchFace();
report();

/** Eight hours at one-second steps, every instrument read at each. */
function runShift(): InProcess {
  const sim = simulatedPlant({ seed: 1, settleMs: 600_000 });
  const startedMs = performance.now();
  for (let second = 0; second < SHIFT_S; second += 1) stepOnce(sim);
  const seconds = (performance.now() - startedMs) / 1000;
  const { fedKg, missingKg } = balanceOf(sim.plant);
  return { seconds, timesRealTime: SHIFT_S / seconds, missingRatio: Math.abs(missingKg) / fedKg };
}

/** The face in a process of its own, all its tags subscribed to by a bare client. */
async function watchFace(): Promise<Face> {
  const [port, controlPort] = [await freePort(), await freePort()];
  const simulator = await startSimulator(['--port', String(port), '--control-port', String(controlPort)]);
  const client = OPCUAClient.create({ endpointMustExist: true, connectionStrategy: { maxRetry: 2 } });
  try {
    await client.connect(`opc.tcp://127.0.0.1:${port}`);
    const { tags, count, stop } = await subscribeToAll(client);
    await pause(3000);
    const [cpuBefore, countBefore] = [cpuMsOf(simulator.child.pid), count()];
    await pause(WATCH_S * 1000);
    const [cpuAfter, countAfter] = [cpuMsOf(simulator.child.pid), count()];
    await stop();
    return {
      tags,
      changesPerSecond: (countAfter - countBefore) / WATCH_S,
      corePercent: cpuBefore === null || cpuAfter === null ? null : (cpuAfter - cpuBefore) / WATCH_S / 10,
    };
  } finally {
    await client.disconnect();
    simulator.child.kill('SIGTERM');
    await simulator.ended;
  }
}

async function subscribeToAll(client: OPCUAClient) {
  const session = await client.createSession();
  const namespace = (await session.readNamespaceArray()).indexOf(PLANT_NAMESPACE_URI);
  const { tags } = simulatedPlant({ seed: 1, settleMs: 0 });
  const subscription = ClientSubscription.create(session, {
    requestedPublishingInterval: 250,
    requestedMaxKeepAliveCount: 8,
    requestedLifetimeCount: 80,
    publishingEnabled: true,
    maxNotificationsPerPublish: 0,
    priority: 0,
  });
  let changes = 0;
  const items = await subscription.monitorItems(
    tags.map(({ node }) => ({ nodeId: `ns=${namespace};s=${node}`, attributeId: AttributeIds.Value })),
    { samplingInterval: 250, discardOldest: true, queueSize: 20 },
    TimestampsToReturn.Both,
  );
  items.on('changed', () => {
    changes += 1;
  });
  const stop = async () => {
    await subscription.terminate();
    await session.close();
  };
  return { tags: tags.length, count: () => changes, stop };
}

/** Processor time a process has used so far; known on Linux only. */
function cpuMsOf(pid: number | undefined): number | null {
  if (process.platform !== 'linux' || pid === undefined) return null;
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ') ?? [];
  return (Number(fields[11]) + Number(fields[12])) * MS_PER_CLOCK_TICK;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

function report(): void {
  const [cpu] = cpus();
  const rows: readonly (readonly [string, string])[] = [
    [
      'hardware',
      `${cpu?.model ?? 'unknown'}, ${cpus().length} cores, ${Math.round(totalmem() / 2 ** 30)} GiB, Node ${process.version}`,
    ],
    ['8 h in-process at 1 s steps', `${inProcess.seconds.toFixed(2)} s (wanted: under 15 s)`],
    ['times real time, one core', `${inProcess.timesRealTime.toFixed(0)} (wanted: at least 2000)`],
    ['mass missing of the feed', inProcess.missingRatio.toExponential(1)],
    [
      'tags on the OPC UA face at 1 Hz',
      `${face.tags}, ${face.changesPerSecond.toFixed(0)} changes/s delivered`,
    ],
    [
      'its process, share of a core',
      face.corePercent === null ? 'not measured' : `${face.corePercent.toFixed(1)} % (wanted: under 25 %)`,
    ],
  ];
  for (const [what, value] of rows) process.stdout.write(`${what.padEnd(34)}${value}\n`);
  const figures = { timesRealTime: Math.round(inProcess.timesRealTime), opcuaCorePercent: face.corePercent };
  process.stdout.write(`${JSON.stringify(figures)}\n`);
}
