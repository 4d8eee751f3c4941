import { faultText, type FaultCode, type FaultParts } from '../contract/faults.ts';
import type { LinkStatus } from '../contract/link-status.ts';
import type { TagAddress, TagSink } from '../ports/tag-source.ts';
import type { EndpointOptions, FieldOptions } from './field-options.ts';
import { IDLE_LINK, linkStep, type LinkAction, type LinkEvent, type LinkLimits } from './link-state.ts';
import { LiveWatch } from './live-watch.ts';
import { MissedTime } from './missed-time.ts';
import type { OpcuaClientKit } from './opcua-library.ts';
import { PlantConnection, type OpenedConnection } from './plant-connection.ts';
import { ReadingIntake } from './reading-intake.ts';

export interface FieldLinkParts {
  readonly endpoint: EndpointOptions;
  readonly tags: readonly TagAddress[];
  readonly sink: TagSink;
  readonly options: Pick<FieldOptions, 'clock' | 'log' | 'recordedUntilMs'>;
  readonly kit: () => Promise<OpcuaClientKit>;
}

const LIMITS: LinkLimits = {
  openingMsMax: 4000,
  unansweredMsMax: 4000,
  retryMsMin: 500,
  retryMsMax: 2000,
  steadyMs: 10_000,
  stallMs: 1000,
};
const TICK_MS = 100;
const REPORT_EVERY_MS = 1000;
/** A subscription found deaf is made anew, but not for ever: a server may have a deadband of its own. */
const DEAF_EVERY_MS = 600_000;

/**
 * The supervisor of one endpoint. What it decides is in `link-state.ts`, with the state chart; here is what it
 * does: opens and closes connections, hands on what they bring, watches the live one, and tells how it stands.
 */
export class FieldLink {
  readonly #parts: FieldLinkParts;
  readonly #intake: ReadingIntake;
  readonly #missed: MissedTime;
  #state = IDLE_LINK;
  #status: LinkStatus;
  #connection: PlantConnection | null = null;
  #watch: LiveWatch | null = null;
  readonly #closing = new Set<Promise<void>>();
  #stopTicking: () => void = () => undefined;
  /** Monotonic: when the subscription, and when anything at all, last said something. */
  #heardMs = 0;
  #answeredMs = 0;
  #reportedMs = 0;
  #deafMs = -Infinity;

  constructor(parts: FieldLinkParts) {
    const { endpoint, tags, sink, options } = parts;
    this.#parts = parts;
    this.#intake = new ReadingIntake(tags, sink, options.clock);
    this.#missed = new MissedTime({
      endpoint,
      sink,
      intake: this.#intake,
      nowMs: () => options.clock.nowMs(),
      recordedUntilMs: options.recordedUntilMs,
      report: this.#log.bind(this),
    });
    this.#status = {
      endpoint: endpoint.id,
      url: endpoint.url,
      state: 'connecting',
      sinceMs: options.clock.nowMs(),
      lastHeardMs: null,
      clockOffsetMs: null,
      because: null,
    };
  }

  start(): void {
    this.#stopTicking = this.#parts.options.clock.every(TICK_MS, () => {
      this.#tick();
    });
    this.#dispatch({ kind: 'start' });
  }

  /** Resolves when every connection is closed or has had its time to close. */
  async stop(): Promise<void> {
    this.#stopTicking();
    this.#dispatch({ kind: 'stop' });
    this.#intake.flush();
    await Promise.all(this.#closing);
  }

  #tick(): void {
    this.#dispatch({ kind: 'tick', heardMs: this.#heardMs, answeredMs: this.#answeredMs });
    if (this.#state.phase !== 'live') return;
    this.#watch?.tick();
    this.#missed.tick();
    if (performance.now() - this.#reportedMs >= REPORT_EVERY_MS) this.#tell({});
  }

  #dispatch(event: LinkEvent): void {
    const [state, actions] = linkStep(this.#state, event, { nowMs: performance.now(), limits: LIMITS });
    this.#state = state;
    for (const action of actions) this.#act(action);
  }

  #act(action: LinkAction): void {
    switch (action.kind) {
      case 'open':
        void this.#open(action.attempt);
        break;
      case 'close':
        this.#close();
        break;
      case 'report':
        this.#report(action.state, action.because);
        break;
    }
  }

  async #open(attempt: number): Promise<void> {
    const broken = (because: string) => {
      this.#dispatch({ kind: 'broken', attempt, because });
    };
    let kit: OpcuaClientKit;
    try {
      kit = await this.#parts.kit();
    } catch (error) {
      broken(`the OPC UA library did not load: ${textOf(error)}`);
      return;
    }
    if (this.#state.phase !== 'opening' || this.#state.attempt !== attempt) return;
    this.#dispatch({ kind: 'progress', attempt });
    this.#intake.begin();
    this.#missed.begin();
    const nodes = this.#parts.tags.map(({ node }) => node);
    this.#connection = new PlantConnection(
      { kit, endpoint: this.#parts.endpoint, nodes },
      {
        broken,
        progress: () => {
          this.#answered();
          this.#dispatch({ kind: 'progress', attempt });
        },
        opened: (opened) => {
          this.#opened(kit, opened, attempt);
        },
        heard: () => {
          this.#answered();
          this.#heardMs = this.#answeredMs;
        },
        changed: (index, change) => {
          this.#intake.changed(index, change);
        },
        refused: (index, why) => {
          this.#refused(index, why);
        },
      },
    );
  }

  #opened(kit: OpcuaClientKit, opened: OpenedConnection, attempt: number): void {
    this.#answered();
    this.#watch = new LiveWatch({
      opened,
      intake: this.#intake,
      nowMs: () => this.#parts.options.clock.nowMs(),
      answered: () => {
        this.#answered();
      },
      failed: (what, error) => {
        this.#log('READ_REFUSED', {
          subject: `endpoint ${this.#parts.endpoint.id} ${what}`,
          got: textOf(error),
          expected: 'an answer',
          remedy: 'it is asked again; tags that stand still go stale meanwhile',
        });
      },
      deaf: (tag) => {
        this.#deaf(tag, attempt);
      },
    });
    this.#missed.opened(kit.library, opened);
    this.#parts.options.log(grantedText(this.#parts.endpoint, opened));
    this.#dispatch({ kind: 'opened', attempt, silentMsMax: opened.silentMsMax });
  }

  #close(): void {
    const connection = this.#connection;
    this.#connection = null;
    this.#watch?.end();
    this.#watch = null;
    if (connection === null) return;
    const closed = connection.close().finally(() => {
      this.#closing.delete(closed);
    });
    this.#closing.add(closed);
    this.#intake.flush();
    if (this.#state.phase !== 'stopped') {
      this.#missed.lost(
        (this.#status.lastHeardMs ?? this.#parts.options.clock.nowMs()) + this.#intake.clockOffsetMs,
      );
    }
  }

  #answered(): void {
    this.#answeredMs = performance.now();
    this.#status = { ...this.#status, lastHeardMs: this.#parts.options.clock.nowMs() };
  }

  #refused(index: number, why: string): void {
    if (!this.#intake.refused(index)) return;
    const address = this.#parts.tags[index];
    this.#log('NODE_REFUSED', {
      subject: `tag ${address?.tag}`,
      got: `${why} for ${address?.node}`,
      expected: 'a node that the plant offers',
      remedy: 'the tag is bad; it is asked for again while the link is live',
    });
  }

  #deaf(tag: string, attempt: number): void {
    if (performance.now() - this.#deafMs < DEAF_EVERY_MS) return;
    this.#deafMs = performance.now();
    this.#dispatch({ kind: 'broken', attempt, because: `subscription does not send the changes of ${tag}` });
  }

  #report(state: LinkStatus['state'], reason: string | null): void {
    const { endpoint, options } = this.#parts;
    const because = reason === null ? null : this.#downText(reason);
    const isNew = state !== this.#status.state;
    if (isNew && because !== null) options.log(because);
    this.#tell({ state, because, ...(isNew ? { sinceMs: options.clock.nowMs() } : {}) });
    if (isNew && state === 'live')
      options.log(`endpoint ${endpoint.id}: live, ${this.#parts.tags.length} tags`);
  }

  #tell(change: Partial<LinkStatus>): void {
    this.#reportedMs = performance.now();
    const clockOffset = this.#intake.isOffsetKnown ? this.#intake.clockOffsetMs : null;
    this.#status = { ...this.#status, ...change, clockOffsetMs: clockOffset };
    this.#parts.sink.link(this.#status);
  }

  #downText(reason: string): string {
    return faultText('LINK_DOWN', {
      subject: `endpoint ${this.#parts.endpoint.id}`,
      got: reason,
      expected: `readings from ${this.#parts.endpoint.url}`,
      remedy: 'trying again; what its tags measure is unknown meanwhile',
    });
  }

  #log(code: FaultCode, parts: FaultParts): void {
    this.#parts.options.log(faultText(code, parts));
  }
}

/** Servers revise what they are asked for; a person who wonders about the latency finds it here. */
function grantedText(endpoint: EndpointOptions, opened: OpenedConnection): string {
  const granted = opened.granted.filter((sampling) => sampling !== null);
  const sampling = granted.map(({ samplingIntervalMs }) => samplingIntervalMs);
  const queues = granted.map(({ queueSize }) => queueSize);
  return (
    `endpoint ${endpoint.id}: plant granted ${granted.length} of ${opened.granted.length} tags, publishing ` +
    `${opened.publishingIntervalMs} ms (asked ${endpoint.publishingIntervalMs}), sampling ${spread(sampling)} ms ` +
    `(asked ${endpoint.samplingIntervalMs}), queue ${spread(queues)}`
  );
}

function spread(values: readonly number[]): string {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (values.length === 0) return 'none';
  return low === high ? `${low}` : `${low} to ${high}`;
}

function textOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
