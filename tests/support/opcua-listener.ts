import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { LinkStatus } from '#server/contract/link-status.ts';
import type { Reading } from '#server/contract/reading.ts';
import type { EndpointOptions } from '#server/field/field-options.ts';
import { opcuaTagSource } from '#server/field/opcua-tag-source.ts';
import type { Clock } from '#server/ports/clock.ts';
import type { LinkGap, TagAddress } from '#server/ports/tag-source.ts';
import { plantNode } from './opcua-plant.ts';

export const MACHINE_CLOCK: Clock = {
  nowMs: () => Date.now(),
  every(periodMs, callBack) {
    const timer = setInterval(callBack, periodMs);
    return () => {
      clearInterval(timer);
    };
  },
};

/** A link status and when it was told, by the monotonic clock. */
export interface ToldStatus extends LinkStatus {
  readonly toldMs: number;
}

/** A tag source at work, with all that it has delivered. */
export interface Listener {
  readonly readings: Reading[];
  readonly batches: number[];
  readonly backfilled: Reading[];
  readonly statuses: ToldStatus[];
  readonly gaps: LinkGap[];
  readonly log: string[];
  of(tag: string): readonly Reading[];
  valuesOf(tag: string): readonly (number | null)[];
  state(): LinkStatus['state'] | undefined;
  stop(): Promise<void>;
}

export interface ListenerOptions {
  readonly url: string;
  readonly tags: readonly Partial<TagAddress>[];
  readonly endpoint?: Partial<EndpointOptions>;
  readonly recordedUntilMs?: (tag: string) => number | null;
  readonly clock?: Clock;
}

/** Shared by all listeners of a test file, since making a key takes half a second. */
let pkiFolder: string | null = null;

function temporaryPkiFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'field-listener-'));
  process.once('exit', () => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

export function listenTo(options: ListenerOptions): Listener {
  pkiFolder ??= temporaryPkiFolder();
  const log: string[] = [];
  const source = opcuaTagSource({
    endpoints: [
      {
        id: 'plant',
        url: options.url,
        publishingIntervalMs: 100,
        samplingIntervalMs: 50,
        backfillMsMax: 600_000,
        ...options.endpoint,
      },
    ],
    clock: options.clock ?? MACHINE_CLOCK,
    log: (text) => log.push(text),
    pkiFolder,
    recordedUntilMs: options.recordedUntilMs ?? (() => null),
  });
  const delivered = {
    readings: [] as Reading[],
    batches: [] as number[],
    backfilled: [] as Reading[],
    statuses: [] as ToldStatus[],
    gaps: [] as LinkGap[],
  };
  source.start(options.tags.map(addressed), {
    readings(batch) {
      delivered.readings.push(...batch);
      delivered.batches.push(batch.length);
    },
    backfill: (batch) => delivered.backfilled.push(...batch),
    link: (status) => delivered.statuses.push({ ...status, toldMs: performance.now() }),
    gap: (gap) => delivered.gaps.push(gap),
  });
  const of = (tag: string) => delivered.readings.filter((reading) => reading.tag === tag);
  return {
    ...delivered,
    log,
    of,
    valuesOf: (tag) => of(tag).map(({ value }) => value),
    state: () => delivered.statuses.at(-1)?.state,
    stop: () => source.stop(),
  };
}

/** Fills in what a test does not care about; a tag without a node is the plant's node of that name. */
function addressed(given: Partial<TagAddress>): TagAddress {
  const tag = given.tag ?? 'tag';
  return { endpoint: 'plant', node: plantNode(tag), staleAfterMs: 60_000, factor: null, ...given, tag };
}
