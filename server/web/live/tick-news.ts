import type { AlarmMessage } from '../../contract/alarm-message.ts';
import type { FigureMessage } from '../../contract/figure-message.ts';
import type { Reading, ReadingColumns } from '../../contract/reading.ts';
import type { LiveChanges } from '../../contract/socket-events.ts';
import type { LiveUpdate } from '../../ports/broadcaster.ts';
import type { Watch } from './watch.ts';

/** One tick's news, arranged once so that each client's part of it is quickly found. */
export interface TickNews extends Pick<LiveUpdate, 'timeMs' | 'links' | 'recording' | 'lots' | 'shifts'> {
  readonly figures: ReadonlyMap<string, FigureMessage>;
  readonly alarms: ReadonlyMap<string, AlarmMessage>;
  /** By tag; each holds at least one reading. */
  readonly readings: ReadonlyMap<string, ReadingColumns>;
}

export function tickNews(update: LiveUpdate): TickNews {
  const { timeMs, links, recording, lots, shifts } = update;
  const byTag = Map.groupBy(update.readings, ({ tag }) => tag);
  return {
    timeMs,
    links,
    recording,
    lots,
    shifts,
    figures: new Map(update.figures.map((figure) => [figure.id, figure])),
    alarms: new Map(update.alarms.map((alarm) => [alarm.id, alarm])),
    readings: new Map([...byTag].map(([tag, readings]) => [tag, columnsOf(tag, readings)])),
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

/** Readings of one tag as columns in ascending source time; they may have arrived in another order. */
export function columnsOf(tag: string, readings: readonly Reading[]): ReadingColumns {
  const isAscending = readings.every(
    ({ sourceTimeMs }, index) => sourceTimeMs >= (readings[index - 1]?.sourceTimeMs ?? sourceTimeMs),
  );
  const ordered = isAscending ? readings : readings.toSorted((a, b) => a.sourceTimeMs - b.sourceTimeMs);
  return {
    tag,
    timeMs: ordered.map(({ sourceTimeMs }) => sourceTimeMs),
    value: ordered.map(({ value }) => value),
    quality: ordered.map(({ quality }) => quality),
  };
}
