import type { FloodStatus } from '../../server/contract/alarm-measures.ts';
import type { AlarmMessage } from '../../server/contract/alarm-message.ts';
import type { FigureMessage } from '../../server/contract/figure-message.ts';
import type { LinkStatus, RecordingStatus } from '../../server/contract/link-status.ts';
import type { Quality, ReadingColumns } from '../../server/contract/reading.ts';
import type { Lot, Shift } from '../../server/contract/records.ts';
import type { LiveChanges, Snapshot } from '../../server/contract/socket-events.ts';
import { keyedStore, type KeyedStore } from './keyed-store.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';

/** The newest reading of a tag. */
export interface LatestReading {
  readonly timeMs: number;
  readonly value: number | null;
  readonly quality: Quality;
}

/**
 * Whether the server is heard.
 *
 *     connecting --snapshot--> live --closed or silent--> lost --snapshot--> live
 *
 * `sinceMs` is when the server was last heard, by its own clock; null before the first time.
 */
export interface Connection {
  readonly state: 'connecting' | 'live' | 'lost';
  readonly sinceMs: number | null;
  /** True when the server speaks another version of the contract than these pages. */
  readonly isOutdated: boolean;
}

/** How the plant stands now, as far as this screen watches it. */
export interface LiveStores {
  readonly figures: KeyedStore<FigureMessage>;
  readonly readings: KeyedStore<LatestReading>;
  readonly alarms: SnapshotStore<readonly AlarmMessage[]>;
  readonly links: SnapshotStore<readonly LinkStatus[]>;
  readonly recording: SnapshotStore<RecordingStatus | null>;
  readonly flood: SnapshotStore<FloodStatus>;
  readonly lots: SnapshotStore<readonly Lot[]>;
  readonly shifts: SnapshotStore<readonly Shift[]>;
  readonly connection: SnapshotStore<Connection>;
}

export function liveStores(): LiveStores {
  return {
    figures: keyedStore(),
    readings: keyedStore(),
    alarms: snapshotStore<readonly AlarmMessage[]>([]),
    links: snapshotStore<readonly LinkStatus[]>([]),
    recording: snapshotStore<RecordingStatus | null>(null),
    flood: snapshotStore<FloodStatus>({ sinceMs: null, count: 0 }),
    lots: snapshotStore<readonly Lot[]>([]),
    shifts: snapshotStore<readonly Shift[]>([]),
    connection: snapshotStore<Connection>({ state: 'connecting', sinceMs: null, isOutdated: false }),
  };
}

/** Replaces all that a snapshot speaks of. */
export function takeSnapshot(stores: LiveStores, snapshot: Snapshot): void {
  takeValues(stores, snapshot);
  stores.alarms.set(snapshot.alarms.filter(stands));
  stores.links.set(snapshot.links);
  stores.recording.set(snapshot.recording);
  stores.flood.set(snapshot.flood);
  stores.lots.set(snapshot.lots);
  stores.shifts.set(snapshot.shifts);
}

/** Lays what changed over what is there. */
export function takeChanges(stores: LiveStores, changes: LiveChanges): void {
  takeValues(stores, changes);
  if (changes.alarms.length > 0) {
    stores.alarms.set(merged(stores.alarms.get(), changes.alarms, (alarm) => alarm.id).filter(stands));
  }
  if (changes.links.length > 0) {
    stores.links.set(merged(stores.links.get(), changes.links, (link) => link.endpoint));
  }
  if (changes.recording !== null) stores.recording.set(changes.recording);
  if (changes.flood !== null) stores.flood.set(changes.flood);
  if (changes.lots !== null) stores.lots.set(changes.lots);
  if (changes.shifts !== null) stores.shifts.set(changes.shifts);
}

interface Values {
  readonly figures: readonly FigureMessage[];
  readonly readings: readonly ReadingColumns[];
}

function takeValues(stores: LiveStores, { figures, readings }: Values): void {
  stores.figures.setAll(figures.map((figure) => [figure.id, figure]));
  stores.readings.setAll(readings.flatMap((columns) => latestOf(columns)));
}

function latestOf({
  tag,
  timeMs,
  value,
  quality,
}: ReadingColumns): readonly (readonly [string, LatestReading])[] {
  const last = timeMs.length - 1;
  const lastTimeMs = timeMs[last];
  if (lastTimeMs === undefined) return [];
  return [
    [
      tag,
      {
        timeMs: lastTimeMs,
        value: value[last] ?? null,
        quality: quality === null ? 'good' : (quality[last] ?? 'bad'),
      },
    ],
  ];
}

function stands(alarm: AlarmMessage): boolean {
  return alarm.state !== 'normal';
}

function merged<Item>(
  before: readonly Item[],
  changed: readonly Item[],
  keyOf: (item: Item) => string,
): Item[] {
  const byKey = new Map(before.map((item) => [keyOf(item), item]));
  for (const item of changed) byKey.set(keyOf(item), item);
  return [...byKey.values()];
}
