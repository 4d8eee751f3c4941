import type { AlarmMessage } from '../../contract/alarm-message.ts';
import type { FigureMessage } from '../../contract/figure-message.ts';
import type { Quality, Reading, ReadingColumns } from '../../contract/reading.ts';
import type { LiveChanges } from '../../contract/socket-events.ts';
import type { LiveUpdate } from '../../ports/broadcaster.ts';
import type { Watch } from './watch.ts';

/** One tick's news, arranged once so that each client's part of it is quickly found. */
export interface TickNews extends Pick<
  LiveUpdate,
  'timeMs' | 'links' | 'recording' | 'flood' | 'lots' | 'shifts'
> {
  readonly figures: ReadonlyMap<string, FigureMessage>;
  readonly alarms: ReadonlyMap<string, AlarmMessage>;
  /** By tag; each holds at least one reading. */
  readonly readings: ReadonlyMap<string, ReadingColumns>;
}

export function tickNews(update: LiveUpdate): TickNews {
  const { timeMs, links, recording, flood, lots, shifts } = update;
  return {
    timeMs,
    links,
    recording,
    flood,
    lots,
    shifts,
    figures: new Map(update.figures.map((figure) => [figure.id, figure])),
    alarms: new Map(update.alarms.map((alarm) => [alarm.id, alarm])),
    readings: columnsByTag(update.readings),
  };
}

/** What of one tick's news a client hears. */
export function changesFor(watch: Watch, news: TickNews): LiveChanges {
  return {
    timeMs: news.timeMs,
    figures: watched(watch.figures, news.figures),
    readings: watched(watch.tags, news.readings),
    alarms: watch.alarms ? [...news.alarms.values()] : [],
    links: news.links,
    recording: news.recording,
    flood: news.flood,
    lots: news.lots,
    shifts: news.shifts,
    hasMissed: false,
  };
}

/** The entries of the wanted keys. Looks through the shorter of the two. */
export function watched<Value>(wanted: ReadonlySet<string>, values: ReadonlyMap<string, Value>): Value[] {
  if (values.size < wanted.size) {
    return [...values].filter(([key]) => wanted.has(key)).map(([, value]) => value);
  }
  return [...wanted].flatMap((key) => values.get(key) ?? []);
}

interface GrowingColumns {
  readonly tag: string;
  timeMs: number[];
  value: (number | null)[];
  quality: Quality[] | null;
}

/**
 * The readings of each tag as columns in ascending source time; they may have arrived in another order. One pass
 * without an object for each reading: this runs for every reading of the plant.
 */
function columnsByTag(readings: readonly Reading[]): ReadonlyMap<string, ReadingColumns> {
  const byTag = new Map<string, GrowingColumns>();
  const mixed = new Set<GrowingColumns>();
  for (const { tag, sourceTimeMs, value, quality } of readings) {
    const columns = byTag.get(tag);
    if (columns === undefined) {
      const told = quality === 'good' ? null : [quality];
      byTag.set(tag, { tag, timeMs: [sourceTimeMs], value: [value], quality: told });
      continue;
    }
    if (sourceTimeMs < (columns.timeMs.at(-1) ?? sourceTimeMs)) mixed.add(columns);
    if (quality !== 'good') columns.quality ??= columns.timeMs.map(() => 'good');
    columns.timeMs.push(sourceTimeMs);
    columns.value.push(value);
    columns.quality?.push(quality);
  }
  for (const columns of mixed) sort(columns);
  return byTag;
}

function sort(columns: GrowingColumns): void {
  const { timeMs, value, quality } = columns;
  const order = timeMs.map((_, index) => index).sort((a, b) => (timeMs[a] ?? 0) - (timeMs[b] ?? 0));
  columns.timeMs = order.map((index) => timeMs[index] ?? 0);
  columns.value = order.map((index) => value[index] ?? null);
  columns.quality = quality && order.map((index) => quality[index] ?? 'bad');
}
