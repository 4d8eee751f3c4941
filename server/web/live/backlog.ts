import type { AlarmMessage } from '../../contract/alarm-message.ts';
import type { FigureMessage } from '../../contract/figure-message.ts';
import type { LinkStatus } from '../../contract/link-status.ts';
import type { ReadingColumns } from '../../contract/reading.ts';
import type { LiveChanges } from '../../contract/socket-events.ts';
import { changesFor, type TickNews } from './tick-news.ts';
import type { Watch } from './watch.ts';

/** News that waits for one client who has not yet taken what was sent before. */
export interface Backlog {
  add(news: TickNews): void;
  /**
   * All that waits, as one message. Null when more has come than is kept: all of it was given up, and a snapshot
   * must take its place. Afterwards nothing waits.
   */
  take(): LiveChanges | null;
}

/** Of several thousand tags, the readings of some ten seconds. They are shared with the other clients' backlogs. */
export const WAITING_READINGS_MAX = 30_000;

export function backlog(watch: Watch): Backlog {
  let waiting: Waiting = nothing();
  let isOverfull = false;
  return {
    add(news) {
      if (isOverfull) return;
      join(waiting, changesFor(watch, news));
      if (waiting.readingCount <= WAITING_READINGS_MAX) return;
      isOverfull = true;
      waiting = nothing();
    },
    take() {
      const taken = isOverfull ? null : asOne(waiting);
      waiting = nothing();
      isOverfull = false;
      return taken;
    },
  };
}

/** What is told whole or not at all; of it the newest word counts. */
type Whole = Pick<LiveChanges, 'timeMs' | 'recording' | 'flood' | 'lots' | 'shifts'>;

interface Waiting {
  readonly figures: Map<string, FigureMessage>;
  readonly alarms: Map<string, AlarmMessage>;
  readonly links: Map<string, LinkStatus>;
  readonly readings: Map<string, ReadingColumns[]>;
  readingCount: number;
  whole: Whole | null;
}

function nothing(): Waiting {
  return {
    figures: new Map(),
    alarms: new Map(),
    links: new Map(),
    readings: new Map(),
    readingCount: 0,
    whole: null,
  };
}

/** Keeps the newest word on figures, alarms and links, and every reading. */
function join(waiting: Waiting, changes: LiveChanges): void {
  for (const figure of changes.figures) waiting.figures.set(figure.id, figure);
  for (const alarm of changes.alarms) waiting.alarms.set(alarm.id, alarm);
  for (const link of changes.links) waiting.links.set(link.endpoint, link);
  for (const columns of changes.readings) {
    const pieces = waiting.readings.get(columns.tag);
    if (pieces === undefined) waiting.readings.set(columns.tag, [columns]);
    else pieces.push(columns);
    waiting.readingCount += columns.timeMs.length;
  }
  waiting.whole = newerWhole(waiting.whole ?? changes, changes);
}

function newerWhole(before: Whole, { timeMs, recording, flood, lots, shifts }: Whole): Whole {
  return {
    timeMs,
    recording: recording ?? before.recording,
    flood: flood ?? before.flood,
    lots: lots ?? before.lots,
    shifts: shifts ?? before.shifts,
  };
}

function asOne(waiting: Waiting): LiveChanges | null {
  if (waiting.whole === null) return null;
  return {
    ...waiting.whole,
    figures: [...waiting.figures.values()],
    alarms: [...waiting.alarms.values()],
    links: [...waiting.links.values()],
    readings: [...waiting.readings.values()].map(columnsJoined),
    hasMissed: false,
  };
}

/** Pieces of one tag as one, in ascending source time: a late reading of a later tick may belong further forward. */
function columnsJoined(pieces: readonly ReadingColumns[]): ReadingColumns {
  const [first] = pieces;
  if (first === undefined) throw new Error('A tag without readings does not wait.');
  if (pieces.length === 1) return first;
  const timeMs = pieces.flatMap((piece) => piece.timeMs);
  const value = pieces.flatMap((piece) => piece.value);
  const quality = pieces.every((piece) => piece.quality === null)
    ? null
    : pieces.flatMap((piece) => piece.quality ?? piece.timeMs.map(() => 'good' as const));
  const order = timeMs.map((_, index) => index).sort((a, b) => (timeMs[a] ?? 0) - (timeMs[b] ?? 0));
  const inOrder = <Value>(column: readonly Value[]) =>
    order.flatMap((index) => column.slice(index, index + 1));
  return {
    tag: first.tag,
    timeMs: inOrder(timeMs),
    value: inOrder(value),
    quality: quality && inOrder(quality),
  };
}
