import type { FloodStatus } from '../../contract/alarm-measures.ts';
import type { AlarmMessage } from '../../contract/alarm-message.ts';
import type { FigureMessage } from '../../contract/figure-message.ts';
import type { LinkStatus, RecordingStatus } from '../../contract/link-status.ts';
import type { ReadingColumns } from '../../contract/reading.ts';
import type { Lot, Shift } from '../../contract/records.ts';
import type { Snapshot } from '../../contract/socket-events.ts';
import { CONTRACT_VERSION } from '../../contract/version.ts';
import type { LiveUpdate } from '../../ports/broadcaster.ts';
import type { Clock } from '../../ports/clock.ts';
import { tickNews, watched, type TickNews } from './tick-news.ts';
import type { Watch } from './watch.ts';

/** How everything stands, from all updates so far. As large as the plant has figures, tags and alarms, and no larger. */
export interface NewestState {
  /** Answers the update's news, arranged for those who watch. */
  take(update: LiveUpdate): TickNews;
  /** What the watch asks for, or all; null before the first update, when nothing can be said yet. */
  snapshot(watch?: Watch): Snapshot | null;
  /** When the last update came, by our clock; null before the first. */
  takenMs(): number | null;
}

/** Until an update says whether readings are kept, they are not known to be. */
const NOT_YET_RECORDING = { isRecording: false, waitingCount: 0, lostCount: 0, because: null };

export function newestState(clock: Clock): NewestState {
  const figures = new Map<string, FigureMessage>();
  /** Of each tag the columns of one tick, of which the last reading is the newest. */
  const readings = new Map<string, ReadingColumns>();
  const alarms = new Map<string, AlarmMessage>();
  const links = new Map<string, LinkStatus>();
  let recording: RecordingStatus | null = null;
  let flood: FloodStatus = { sinceMs: null, count: 0 };
  let lots: readonly Lot[] = [];
  let shifts: readonly Shift[] = [];
  let timeMs: number | null = null;
  let takenMs: number | null = null;

  function take(update: LiveUpdate): TickNews {
    const news = tickNews(update);
    for (const figure of update.figures) figures.set(figure.id, figure);
    for (const columns of news.readings.values()) takeReadings(readings, columns);
    for (const alarm of update.alarms) takeAlarm(alarms, alarm);
    for (const link of update.links) links.set(link.endpoint, link);
    recording = update.recording ?? recording;
    flood = update.flood ?? flood;
    lots = update.lots ?? lots;
    shifts = update.shifts ?? shifts;
    timeMs = update.timeMs;
    takenMs = clock.nowMs();
    return news;
  }

  function snapshot(watch?: Watch): Snapshot | null {
    if (timeMs === null) return null;
    const told = watch === undefined ? [...readings.values()] : watched(watch.tags, readings);
    const hearsAlarms = watch?.alarms ?? true;
    return {
      contractVersion: CONTRACT_VERSION,
      timeMs,
      figures: watch === undefined ? [...figures.values()] : watched(watch.figures, figures),
      readings: told.map(newestOf),
      alarms: hearsAlarms ? [...alarms.values()] : [],
      links: [...links.values()],
      flood,
      recording: recording ?? { ...NOT_YET_RECORDING, sinceMs: timeMs },
      lots: [...lots],
      shifts: [...shifts],
    };
  }

  return { take, snapshot, takenMs: () => takenMs };
}

/** A reading that comes late does not become the newest. */
function takeReadings(readings: Map<string, ReadingColumns>, columns: ReadingColumns): void {
  const beforeMs = readings.get(columns.tag)?.timeMs.at(-1) ?? -Infinity;
  if ((columns.timeMs.at(-1) ?? -Infinity) >= beforeMs) readings.set(columns.tag, columns);
}

function newestOf({ tag, timeMs, value, quality }: ReadingColumns): ReadingColumns {
  return {
    tag,
    timeMs: timeMs.slice(-1),
    value: value.slice(-1),
    quality: quality && quality.at(-1) !== 'good' ? quality.slice(-1) : null,
  };
}

function takeAlarm(alarms: Map<string, AlarmMessage>, alarm: AlarmMessage): void {
  if (alarm.state === 'normal') alarms.delete(alarm.id);
  else alarms.set(alarm.id, alarm);
}
