import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  DataType,
  MessageSecurityMode,
  nodesets,
  OPCUACertificateManager,
  OPCUAServer,
  SecurityPolicy,
  StatusCodes,
  Variant,
  type Namespace,
  type StatusCode,
  type UAObject,
  type UAVariable,
} from 'node-opcua';
import { SimulatorFault } from '../fault.ts';
import type { Quality } from '../instruments/instrument.ts';
import type { TagEntry } from '../tags/tag-entry.ts';
import { UNIT_CODES, unitId } from '../tags/tag-entry.ts';
import { historianOf } from './ring-historian.ts';
import { historyRing, type HistoryRing } from './history-ring.ts';

export interface FaceOptions {
  readonly port: number;
  readonly namespaceUri: string;
  readonly tags: readonly TagEntry[];
  /** Readings of each tag kept for HistoryRead; 0 = no history. */
  readonly historyLength: number;
}

export interface Face {
  readonly url: string;
  /** Shows a reading to subscribers; with `isRecorded` it also goes into the history. */
  publish(tag: number, reading: FaceReading): void;
  close(): Promise<void>;
}

export interface FaceReading {
  readonly value: number;
  readonly quality: Quality;
  readonly timeMs: number;
  /** Shown to subscribers now, not only kept for history. */
  readonly isLive: boolean;
  readonly isRecorded: boolean;
}

const STATUS: Readonly<Record<Quality, StatusCode>> = {
  0: StatusCodes.Good,
  1: StatusCodes.UncertainLastUsableValue,
  2: StatusCodes.BadSensorFailure,
};

const DATA_TYPE = { analog: DataType.Double, counter: DataType.UInt32, contact: DataType.Boolean } as const;
const CONTACT_HISTORY_LENGTH = 2000;
const LOOPBACK = '127.0.0.1';

interface Point {
  readonly variable: UAVariable;
  readonly dataType: DataType;
  readonly ring: HistoryRing | undefined;
}

/** Offers the plant's tags over OPC UA on loopback. It has no writable node. */
export async function openFace(options: FaceOptions): Promise<Face> {
  const folder = await mkdtemp(join(tmpdir(), 'quillmarsh-'));
  const server = await startServer(options, folder);
  const points = addPoints(server, options);
  return {
    url: `opc.tcp://${LOOPBACK}:${options.port}`,
    publish(tag, reading) {
      const point = points[tag];
      if (point === undefined) return;
      if (reading.isRecorded) point.ring?.push(reading.timeMs, reading.value, reading.quality);
      if (reading.isLive) show(point, reading);
    },
    async close() {
      await server.shutdown(200);
      await rm(folder, { recursive: true, force: true });
    },
  };
}

async function startServer(options: FaceOptions, folder: string): Promise<OPCUAServer> {
  const server = new OPCUAServer({
    host: LOOPBACK,
    hostname: LOOPBACK,
    port: options.port,
    resourcePath: '',
    nodeset_filename: [nodesets.standard],
    securityPolicies: [SecurityPolicy.None],
    securityModes: [MessageSecurityMode.None],
    allowAnonymous: true,
    skipOwnNamespace: true,
    maxConnectionsPerEndpoint: 50,
    serverInfo: { applicationUri: 'urn:quillmarsh-station:simulator', productUri: 'urn:quillmarsh-station' },
    buildInfo: { productName: 'Quillmarsh Station simulator', buildNumber: '1', buildDate: new Date(0) },
    serverCertificateManager: new OPCUACertificateManager({ rootFolder: join(folder, 'server') }),
    userCertificateManager: new OPCUACertificateManager({ rootFolder: join(folder, 'users') }),
  });
  try {
    await server.initialize();
    await server.start();
    return server;
  } catch (cause) {
    await rm(folder, { recursive: true, force: true });
    throw portFault(options.port, cause);
  }
}

function portFault(port: number, cause: unknown): SimulatorFault {
  const reason = cause instanceof Error ? cause.message : String(cause);
  return new SimulatorFault(
    {
      code: 'SIM_PORT',
      subject: `${LOOPBACK}:${port}`,
      got: reason.split('\n')[0] ?? reason,
      expected: 'a free port',
      remedy:
        'stop what uses it (a plant started earlier?), or give simulator/main.ts another --port and the server the same in config/plant.yaml',
    },
    cause,
  );
}

function addPoints(server: OPCUAServer, options: FaceOptions): Point[] {
  const { addressSpace } = server.engine;
  if (addressSpace === null) throw new Error('the address space is not there after start');
  const namespace = addressSpace.registerNamespace(options.namespaceUri);
  const machines = new Map<string, UAObject>();
  return options.tags.map((entry) => {
    const [machine = ''] = entry.node.split('.');
    const parent =
      machines.get(machine) ??
      namespace.addObject({
        browseName: machine,
        nodeId: `s=${machine}`,
        organizedBy: addressSpace.rootFolder.objects,
      });
    machines.set(machine, parent);
    return addPoint(namespace, { parent, entry, historyLength: options.historyLength });
  });
}

function addPoint(
  namespace: Namespace,
  { parent, entry, historyLength }: { parent: UAObject; entry: TagEntry; historyLength: number },
): Point {
  const dataType = DATA_TYPE[entry.kind];
  const accessLevel = historyLength === 0 ? 'CurrentRead' : 'CurrentRead | HistoryRead';
  const common = {
    componentOf: parent,
    browseName: entry.node.split('.')[1] ?? entry.node,
    nodeId: `s=${entry.node}`,
    description: entry.about,
    dataType,
    minimumSamplingInterval: 50,
    accessLevel,
    userAccessLevel: accessLevel,
  };
  const variable =
    entry.kind === 'contact'
      ? namespace.addVariable(common)
      : namespace.addAnalogDataItem({
          ...common,
          engineeringUnitsRange: { low: entry.low, high: entry.high },
          engineeringUnits: {
            namespaceUri: 'http://www.opcfoundation.org/UA/units/un/cefact',
            unitId: unitId(entry.unit),
            displayName: entry.unit,
            description: UNIT_CODES[entry.unit],
          },
        });
  const start = new Variant({ dataType, value: entry.kind === 'contact' ? false : 0 });
  variable.setValueFromSource(start, StatusCodes.BadWaitingForInitialData);
  if (historyLength === 0) return { variable, dataType, ring: undefined };
  const ring = historyRing(entry.kind === 'contact' ? CONTACT_HISTORY_LENGTH : historyLength);
  namespace.addressSpace.installHistoricalDataNode(variable, { historian: historianOf(ring, dataType) });
  return { variable, dataType, ring };
}

function show({ variable, dataType }: Point, reading: FaceReading): void {
  const value = dataType === DataType.Boolean ? reading.value !== 0 : reading.value;
  variable.setValueFromSource(
    new Variant({ dataType, value }),
    STATUS[reading.quality],
    new Date(reading.timeMs),
  );
}
