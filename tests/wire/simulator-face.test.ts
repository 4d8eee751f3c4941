import {
  AttributeIds,
  DataType,
  DataValue,
  HistoryReadRequest,
  HistoryReadValueId,
  OPCUAClient,
  ReadRawModifiedDetails,
  TimestampsToReturn,
  Variant,
  type ClientSession,
  type HistoryData,
} from 'node-opcua';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catalogue, PLANT_NAMESPACE_URI } from '#simulator/catalogue.ts';
import {
  freePort,
  runSimulator,
  runUpset,
  startSimulator,
  type SimulatorProcess,
} from '#tests/simulator/simulator-process.ts';

const ports = { opcua: 0, control: 0 };
let simulator: SimulatorProcess;
let client: OPCUAClient;
let session: ClientSession;
let namespace = 0;

const args = () => [
  '--port',
  String(ports.opcua),
  '--control-port',
  String(ports.control),
  '--warm-minutes',
  '30',
];
const nodeId = (node: string) => `ns=${namespace};s=${node}`;
const read = (node: string) => session.read({ nodeId: nodeId(node), attributeId: AttributeIds.Value });

async function connect(): Promise<void> {
  client = OPCUAClient.create({
    endpointMustExist: true,
    connectionStrategy: { maxRetry: 2, initialDelay: 100 },
  });
  await client.connect(`opc.tcp://127.0.0.1:${ports.opcua}`);
  session = await client.createSession();
  namespace = (await session.readNamespaceArray()).indexOf(PLANT_NAMESPACE_URI);
}

beforeAll(async () => {
  ports.opcua = await freePort();
  ports.control = await freePort();
  simulator = await startSimulator(args());
  await connect();
});

afterAll(async () => {
  await client.disconnect();
  simulator.child.kill('SIGKILL');
  await simulator.ended;
});

describe('the face', () => {
  it('offers every point of the full profile with good status and a source time of the last seconds', async () => {
    const tags = catalogue('full');
    const values = await session.read(
      tags.map(({ node }) => ({ nodeId: nodeId(node), attributeId: AttributeIds.Value })),
    );
    const notGood = values.flatMap((value, i) =>
      value.statusCode.value >>> 30 === 0 ? [] : [tags[i]?.node],
    );
    // An instrument may be unsure of itself for a moment.
    expect(notGood.length).toBeLessThanOrEqual(1);
    const age = Date.now() - ((await read('Intake.MassFlow')).sourceTimestamp?.getTime() ?? 0);
    expect(age).toBeLessThan(3000);
    expect(age).toBeGreaterThan(-1000);
  });

  it('says the range and the unit of an analog as OPC UA Part 8 wants them', async () => {
    const property = async (name: string) =>
      (await session.read({ nodeId: nodeId(`Intake.MassFlow-${name}`), attributeId: AttributeIds.Value }))
        .value.value as Readonly<Record<string, unknown>>;
    expect(await property('EURange')).toMatchObject({ low: 0, high: 25_000 });
    // 'E93' as bytes of a number.
    expect(await property('EngineeringUnits')).toMatchObject({ unitId: 0x45_39_33 });
  });

  it('lets nobody write', async () => {
    const value = new DataValue({ value: new Variant({ dataType: DataType.Double, value: 1 }) });
    const status = await session.write({
      nodeId: nodeId('Intake.MassFlow'),
      attributeId: AttributeIds.Value,
      value,
    });
    expect(status.value >>> 30).toBe(2);
  });

  it('gives half an hour of history from before it was started, by continuation points, each second once', async () => {
    const times = await historyTimes('Intake.MassFlow');
    expect(times.length).toBeGreaterThanOrEqual(1800);
    expect(new Set(times).size).toBe(times.length);
    const gaps = times.slice(1).map((time, i) => time - (times[i] ?? 0));
    expect(Math.max(...gaps)).toBe(1000);
    expect(Date.now() - (times[0] ?? 0)).toBeGreaterThan(30 * 60_000);
  });
});

/** Source times of a tag's last hour, asked for page by page. */
async function historyTimes(node: string): Promise<number[]> {
  const times: number[] = [];
  for (let page = await historyPage(node, null); ; page = await historyPage(node, page.next)) {
    expect(page.times.length).toBeLessThanOrEqual(PAGE);
    times.push(...page.times);
    if (page.next === null) return times;
  }
}

const PAGE = 500;

async function historyPage(node: string, continuationPoint: Buffer | null) {
  const details = new ReadRawModifiedDetails({
    startTime: new Date(Date.now() - 3_600_000),
    endTime: new Date(),
    numValuesPerNode: PAGE,
    isReadModified: false,
    returnBounds: false,
  });
  const request = new HistoryReadRequest({
    historyReadDetails: details,
    nodesToRead: [
      new HistoryReadValueId({
        nodeId: nodeId(node),
        ...(continuationPoint !== null && { continuationPoint }),
      }),
    ],
    timestampsToReturn: TimestampsToReturn.Both,
  });
  const result = (await session.historyRead(request)).results?.[0];
  const data = result?.historyData as HistoryData | null | undefined;
  const next = result?.continuationPoint as Buffer | null | undefined;
  const times = (data?.dataValues ?? []).map((value) => value.sourceTimestamp?.getTime() ?? 0);
  return { times, next: next === undefined || next === null || next.length === 0 ? null : next };
}

describe('the control page', () => {
  const page = (path: string, init: RequestInit = {}) =>
    fetch(`http://127.0.0.1:${ports.control}${path}`, init);

  it('says that it is a simulator and has a button for each upset', async () => {
    const html = await (await page('/')).text();
    expect(html).toContain('This is a simulator.');
    expect(html).toContain('lock out and tag');
    expect(html.match(/<button>/g)?.length).toBeGreaterThan(25);
  });

  it('is closed to other sites in the same browser', async () => {
    const refused = await page('/upsets/destoner-stop/begin', {
      method: 'POST',
      headers: { origin: 'http://elsewhere.example' },
    });
    expect(refused.status).toBe(403);
    expect((await read('Destoner.Running')).value.value).toBe(true);
  });
});

describe('an upset from the command line', () => {
  const upset = (...words: readonly string[]) =>
    runUpset([...words, '--control-port', String(ports.control)]);

  it('stops the destoner and what feeds it, nearest first, shown within a second', async () => {
    const { code, stdout } = await upset('destoner-stop');
    expect(stdout).toContain('playing');
    expect(code).toBe(0);
    await new Promise((resolve) => setTimeout(resolve, 2500));
    const order = [
      'Destoner',
      'Elevator2',
      'Sizer',
      'Aspirator',
      'AirScreen',
      'Scalper',
      'Elevator1',
      'Intake',
    ];
    const values = await Promise.all(order.map((machine) => read(`${machine}.Running`)));
    expect(values.map((value) => value.value.value as unknown)).toEqual(order.map(() => false));
    const times = values.map((value) => value.sourceTimestamp?.getTime() ?? 0);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect((times.at(-1) ?? 0) - (times[0] ?? 0)).toBeLessThan(2000);
  });

  it('refuses a name that no file has, and says which there are', async () => {
    const { code, stderr } = await upset('nonsense');
    expect(stderr).toMatch(
      /^SIM_UPSET_NAME upset: got nonsense, expected one of .*destoner-stop.*; nothing was changed\n$/,
    );
    expect(code).toBe(1);
  });

  it('says so when no simulator runs', async () => {
    const port = await freePort();
    const { code, stderr } = await runUpset(['list', '--control-port', String(port)]);
    expect(stderr).toMatch(
      /^SIM_CONTROL http:\/\/127\.0\.0\.1:\d+\/upsets: got no answer, expected a running simulator; .*\n$/,
    );
    expect(code).toBe(1);
  });
});

describe('the process', () => {
  it('says which port is taken in one line and ends with 1', async () => {
    const { code, stderr } = await runSimulator(args());
    expect(stderr).toMatch(
      /^SIM_PORT 127\.0\.0\.1:\d+: got .*EADDRINUSE.*, expected a free port; .*--port .*\n$/,
    );
    expect(code).toBe(1);
  });

  it('comes back on the same port after kill -9, and ends with 0 within 5 s of SIGTERM', async () => {
    await client.disconnect();
    simulator.child.kill('SIGKILL');
    await simulator.ended;
    simulator = await startSimulator(args());
    await connect();
    expect((await read('Intake.Running')).value.value).toBe(true);
    const toldAt = Date.now();
    simulator.child.kill('SIGTERM');
    const { code, stderr } = await simulator.ended;
    expect(stderr).toBe('');
    expect(code).toBe(0);
    expect(Date.now() - toldAt).toBeLessThan(5000);
  });
});

describe('made-up tags', () => {
  it('change at the rate asked for, each with the time at which it was set', async () => {
    const port = await freePort();
    const synthetic = await startSimulator(['--port', String(port), '--synthetic', '20', '--hz', '10']);
    const listener = OPCUAClient.create({ endpointMustExist: true, connectionStrategy: { maxRetry: 2 } });
    await listener.connect(`opc.tcp://127.0.0.1:${port}`);
    const own = await listener.createSession();
    const index = (await own.readNamespaceArray()).indexOf(PLANT_NAMESPACE_URI);
    const readLast = () =>
      own.read({ nodeId: `ns=${index};s=Synthetic.Value20`, attributeId: AttributeIds.Value });
    const first = await readLast();
    await new Promise((resolve) => setTimeout(resolve, 1000));
    const second = await readLast();
    await listener.disconnect();
    synthetic.child.kill('SIGTERM');
    expect((await synthetic.ended).code).toBe(0);
    const beats = (second.value.value as number) - (first.value.value as number);
    const elapsedMs = (second.sourceTimestamp?.getTime() ?? 0) - (first.sourceTimestamp?.getTime() ?? 0);
    expect(beats).toBeGreaterThan(5);
    expect(elapsedMs / beats).toBeGreaterThan(80);
    expect(elapsedMs / beats).toBeLessThan(120);
  });
});
