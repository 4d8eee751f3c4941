import type { ClientSession, ClientSubscription, OPCUAClient } from 'node-opcua';
import type { EndpointOptions } from './field-options.ts';
import { chunksOf } from './chunks-of.ts';
import { silenceAllowedMs } from './link-state.ts';
import { resolvedNode } from './node-text.ts';
import type { OpcuaClientKit } from './opcua-library.ts';
import { itemsInOneCall, serverFacts, type PlantSession, type ServerFacts } from './plant-session.ts';
import {
  monitor,
  subscribe,
  type GrantedSampling,
  type NodeOfTag,
  type SubscriptionListener,
} from './plant-subscription.ts';
import { settledWithin } from './settled-within.ts';

/** What a connection knows once it is live. */
export interface OpenedConnection {
  readonly session: PlantSession;
  readonly facts: ServerFacts;
  /** Of each tag; null where the plant has no such namespace. */
  readonly nodeIds: readonly (string | null)[];
  /** Of each tag; null where the plant refused it. */
  readonly granted: readonly (GrantedSampling | null)[];
  readonly publishingIntervalMs: number;
  readonly silentMsMax: number;
  /** Asks once more for tags that were refused: a plant may fill its address space after it has begun to answer. */
  readonly askAgain: (indexes: readonly number[]) => Promise<void>;
}

export interface ConnectionListener extends SubscriptionListener {
  /** One more step of coming in has been answered. */
  progress(): void;
  opened(opened: OpenedConnection): void;
}

export interface ConnectionPlan {
  readonly kit: OpcuaClientKit;
  readonly endpoint: EndpointOptions;
  /** Node of each tag, in the text form of the configuration. */
  readonly nodes: readonly string[];
}

interface MonitoringRoom {
  readonly session: PlantSession;
  readonly subscription: ClientSubscription;
  readonly nodeIds: (string | null)[];
  readonly granted: (GrantedSampling | null)[];
}

const CLOSING_MS_MAX = 2500;
const TRANSACTION_MS_MAX = 5000;
const KEEP_ALIVE_MS = 2000;
const SESSION_MS_MIN = 30_000;

/**
 * One attempt to come in and stay: a client of its own that is never used again. It says `opened` once, or
 * `broken` at the first thing that goes wrong, before or after; after `close` it says nothing more.
 */
export class PlantConnection {
  readonly #plan: ConnectionPlan;
  readonly #listener: ConnectionListener;
  readonly #client: OPCUAClient;
  #isClosed = false;

  constructor(plan: ConnectionPlan, listener: ConnectionListener) {
    this.#plan = plan;
    this.#listener = this.#whileOpen(listener);
    this.#client = newClient(plan);
    this.#watchClient();
    this.#open().catch((error: unknown) => {
      this.#listener.broken(reasonOf(error));
    });
  }

  /** Resolves within 2.5 s, whether the plant answers or not. */
  async close(): Promise<void> {
    this.#isClosed = true;
    await settledWithin(this.#client.disconnect(), CLOSING_MS_MAX);
  }

  async #open(): Promise<void> {
    const { endpoint, nodes } = this.#plan;
    await this.#client.connect(endpoint.url);
    this.#listener.progress();
    const session = await this.#client.createSession();
    this.#watchSession(session);
    this.#listener.progress();
    const subscription = await subscribe(session, endpoint, this.#listener);
    const nodeIds = new Array<string | null>(nodes.length).fill(null);
    const granted = new Array<GrantedSampling | null>(nodes.length).fill(null);
    const room: MonitoringRoom = { session, subscription, nodeIds, granted };
    const facts = await this.#monitor(room, [...nodes.keys()]);
    this.#listener.opened({
      session,
      facts,
      nodeIds,
      granted,
      publishingIntervalMs: subscription.publishingInterval,
      silentMsMax: silenceAllowedMs(subscription.publishingInterval, subscription.maxKeepAliveCount),
      askAgain: async (indexes) => {
        await this.#monitor(room, indexes);
      },
    });
  }

  /** Resolves these tags' nodes by the namespaces of this moment, and asks to be told of them. */
  async #monitor(room: MonitoringRoom, indexes: readonly number[]): Promise<ServerFacts> {
    const { kit, endpoint } = this.#plan;
    const facts = await serverFacts(room.session);
    const known = indexes.flatMap((index) => this.#resolved(index, facts));
    for (const nodes of chunksOf(known, itemsInOneCall(facts))) {
      const request = { library: kit.library, nodes, endpoint };
      const answers = await monitor(room.subscription, request, this.#listener);
      nodes.forEach(({ index, nodeId }, place) => {
        room.nodeIds[index] = nodeId;
        room.granted[index] = answers[place] ?? null;
      });
      this.#listener.progress();
    }
    return facts;
  }

  #resolved(index: number, facts: ServerFacts): readonly NodeOfTag[] {
    const resolved = resolvedNode(this.#plan.nodes[index] ?? '', facts.namespaces);
    if (resolved.isResolved) return [{ index, nodeId: resolved.nodeId }];
    this.#listener.refused(index, resolved.problem);
    return [];
  }

  #watchClient(): void {
    const broken = (because: string) => {
      this.#listener.broken(because);
    };
    this.#client.on('connection_lost', () => {
      broken('connection lost');
    });
    this.#client.on('start_reconnection', () => {
      broken('connection lost');
    });
    this.#client.on('close', (error) => {
      broken(error ? `connection closed: ${error.message}` : 'connection closed');
    });
    this.#client.on('timed_out_request', (request) => {
      const name = request.schema.name.replace(/Request$/, '');
      // A slow historian says nothing about the live link.
      if (name !== 'HistoryRead') broken(`no answer to ${name} within ${TRANSACTION_MS_MAX / 1000} s`);
    });
  }

  #watchSession(session: ClientSession): void {
    session.on('session_closed', (status) => {
      this.#listener.broken(`session closed: ${status.name}`);
    });
    session.on('keepalive_failure', () => {
      this.#listener.broken('session keep-alive failed');
    });
  }

  #whileOpen(listener: ConnectionListener): ConnectionListener {
    const isOpen = () => !this.#isClosed;
    return {
      progress: () => isOpen() && listener.progress(),
      opened: (opened) => isOpen() && listener.opened(opened),
      broken: (because) => isOpen() && listener.broken(because),
      heard: () => isOpen() && listener.heard(),
      changed: (index, change) => isOpen() && listener.changed(index, change),
      refused: (index, why) => isOpen() && listener.refused(index, why),
    };
  }
}

function newClient({ kit, endpoint }: ConnectionPlan): OPCUAClient {
  const { library } = kit;
  return library.OPCUAClient.create({
    applicationName: 'Sievewright',
    applicationUri: kit.applicationUri,
    clientName: `Sievewright ${endpoint.id}`,
    clientCertificateManager: kit.certificateManager,
    certificateFile: kit.certificateFile,
    securityMode: library.MessageSecurityMode.None,
    securityPolicy: library.SecurityPolicy.None,
    // Servers announce the host name that they know themselves by; people reach them by address or a mapped port.
    endpointMustExist: false,
    keepSessionAlive: true,
    keepAliveInterval: KEEP_ALIVE_MS,
    defaultTransactionTimeout: TRANSACTION_MS_MAX,
    transportTimeout: TRANSACTION_MS_MAX,
    requestedSessionTimeout: Math.max(SESSION_MS_MIN, 20 * endpoint.publishingIntervalMs),
    connectionStrategy: { maxRetry: 0 },
  });
}

function reasonOf(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  return text.replace(/\s+/g, ' ').trim().slice(0, 200);
}
