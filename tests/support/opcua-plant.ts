import {
  DataType,
  DataValue,
  OPCUACertificateManager,
  OPCUAServer,
  StatusCodes,
  VariantArrayType,
  type DataValueOptions,
  type Namespace,
  type UAVariable,
} from 'node-opcua';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const PLANT_URI = 'urn:field-test:plant';

/**
 * A small OPC UA server for the tests of the field room, unlike the simulator on purpose: another namespace, other
 * names, types and habits. Its ramps count up by one, so that a lost reading shows as a missing number.
 */
export interface PlantOptions {
  readonly port: number;
  readonly rampCount: number;
  readonly rampEveryMs: number;
  /** The ramps, and nothing else, keep a history. */
  readonly hasHistory: boolean;
  /** Namespaces that stand before the plant's: another number of them moves its index. */
  readonly namespacesBefore: number;
  /** Server limit on nodes in one read and items in one call; 0 sets none. */
  readonly nodesInCallMax: number;
}

const PLANT_DEFAULTS: PlantOptions = {
  port: 0,
  rampCount: 5,
  rampEveryMs: 100,
  hasHistory: false,
  namespacesBefore: 0,
  nodesInCallMax: 0,
};

export interface OpcuaPlant {
  readonly url: string;
  /** Names of all services that were asked for, in order. */
  readonly requests: string[];
  /** The number at which the ramps stand. */
  steps(): number;
  /** Sets the value that a node answers with from now on, exactly as given. */
  set(node: string, value: DataValueOptions): void;
  /** Adds a variable while clients are connected. */
  add(node: string): void;
  stop(): Promise<void>;
}

const HISTORY_VALUES_MAX = 100_000;

export async function startOpcuaPlant(given: Partial<PlantOptions> = {}): Promise<OpcuaPlant> {
  const options = { ...PLANT_DEFAULTS, ...given };
  const pkiFolder = mkdtempSync(join(tmpdir(), 'field-plant-'));
  const server = new OPCUAServer({
    port: options.port,
    serverCertificateManager: new OPCUACertificateManager({
      rootFolder: pkiFolder,
      disableFileWatchers: true,
    }),
    maxConnectionsPerEndpoint: 50,
    serverCapabilities: {
      maxSessions: 50,
      // Whoever asks for interval 0 of a ramp gets every change, however late a busy machine samples.
      minSupportedSampleRate: 0,
      operationLimits: {
        maxNodesPerRead: options.nodesInCallMax,
        maxMonitoredItemsPerCall: options.nodesInCallMax,
      },
    },
  });
  await server.initialize();
  const plant = new PlantNodes(namespaceOf(server, options.namespacesBefore));
  plant.addSpecimens();
  const requests: string[] = [];
  server.on('request', (request: { readonly schema: { readonly name: string } }) => {
    requests.push(request.schema.name.replace(/Request$/, ''));
  });
  const stopRamps = plant.countRamps(options);
  await server.start();
  const port = server.endpoints[0]?.port ?? options.port;
  return {
    url: `opc.tcp://127.0.0.1:${port}`,
    requests,
    steps: () => plant.steps,
    set: (node, value) => {
      plant.set(node, value);
    },
    add: (node) => {
      plant.addSpecimen(node, DataType.Double);
    },
    async stop() {
      stopRamps();
      await server.shutdown(0);
      rmSync(pkiFolder, { recursive: true, force: true });
    },
  };
}

export function rampNames(count: number): readonly string[] {
  return Array.from({ length: count }, (_, index) => `Ramp.${index}`);
}

/** The text form of a node of this plant. */
export function plantNode(name: string): string {
  return `nsu=${PLANT_URI};s=${name}`;
}

class PlantNodes {
  steps = 0;
  readonly #namespace: Namespace;
  readonly #answers = new Map<string, DataValue>();

  constructor(namespace: Namespace) {
    this.#namespace = namespace;
  }

  /** One node of each kind of value that a plant may send; it answers with what was set, stamps and all. */
  addSpecimens(): void {
    this.addSpecimen('Number', DataType.Double);
    this.addSpecimen('Other', DataType.Double);
    this.addSpecimen('Contact', DataType.Boolean);
    this.addSpecimen('Signed', DataType.Int64);
    this.addSpecimen('Unsigned', DataType.UInt64);
    this.addSpecimen('Byte', DataType.Byte);
    this.addSpecimen('Text', DataType.String);
  }

  addSpecimen(name: string, dataType: DataType): void {
    const now = new Date();
    const value = ZEROS[dataType] ?? 0;
    const arrayType = VariantArrayType.Scalar;
    this.set(name, { value: { dataType, arrayType, value }, sourceTimestamp: now, serverTimestamp: now });
    this.#namespace.addVariable({
      organizedBy: this.#namespace.addressSpace.rootFolder.objects,
      browseName: name,
      nodeId: `s=${name}`,
      dataType,
      minimumSamplingInterval: 10,
      value: { timestamped_get: () => this.#answers.get(name) ?? new DataValue({}) },
    });
  }

  set(name: string, value: DataValueOptions): void {
    this.#answers.set(name, new DataValue(value));
  }

  /** Adds the ramps and lets them count; answers with the end of it. */
  countRamps({ rampCount, rampEveryMs, hasHistory }: PlantOptions): () => void {
    const ramps = rampNames(rampCount).map((name) => this.#addRamp(name, hasHistory));
    const timer = setInterval(() => {
      this.steps++;
      const now = new Date();
      const value = { dataType: DataType.Double, value: this.steps };
      for (const ramp of ramps) ramp.setValueFromSource(value, StatusCodes.Good, now);
    }, rampEveryMs);
    return () => {
      clearInterval(timer);
    };
  }

  #addRamp(name: string, hasHistory: boolean): UAVariable {
    const { addressSpace } = this.#namespace;
    const ramp = this.#namespace.addVariable({
      organizedBy: addressSpace.rootFolder.objects,
      browseName: name,
      nodeId: `s=${name}`,
      dataType: DataType.Double,
      minimumSamplingInterval: 0,
    });
    ramp.setValueFromSource({ dataType: DataType.Double, value: 0 });
    if (hasHistory) addressSpace.installHistoricalDataNode(ramp, { maxOnlineValues: HISTORY_VALUES_MAX });
    return ramp;
  }
}

const ZEROS: Readonly<Record<number, unknown>> = {
  [DataType.Boolean]: false,
  [DataType.Int64]: [0, 0],
  [DataType.UInt64]: [0, 0],
  [DataType.String]: '',
};

function namespaceOf(server: OPCUAServer, namespacesBefore: number): Namespace {
  const addressSpace = server.engine.addressSpace;
  if (addressSpace === null) throw new Error('test plant has no address space');
  for (let index = 0; index < namespacesBefore; index++) {
    addressSpace.registerNamespace(`urn:field-test:before-${index}`);
  }
  return addressSpace.registerNamespace(PLANT_URI);
}
