import type { AlarmMessage } from '../../contract/alarm-message.ts';
import type { FigureMessage } from '../../contract/figure-message.ts';
import type { LinkStatus, RecordingStatus } from '../../contract/link-status.ts';
import type { Reading } from '../../contract/reading.ts';
import type { Lot, Shift } from '../../contract/records.ts';
import type { Snapshot } from '../../contract/socket-events.ts';
import { CONTRACT_VERSION } from '../../contract/version.ts';
import type { LiveUpdate } from '../../ports/broadcaster.ts';
import type { Clock } from '../../ports/clock.ts';
import { columnsOf, watched } from './tick-news.ts';
import type { Watch } from './watch.ts';

/** How everything stands, from all updates so far. As large as the plant has figures, tags and alarms, and no larger. */
export interface NewestState {
  take(update: LiveUpdate): void;
  /** What the watch asks for, or all; null before the first update, when nothing can be said yet. */
  snapshot(watch?: Watch): Snapshot | null;
  /** When the last update came, by our clock; null before the first. */
  takenMs(): number | null;
}

/** Until an update says whether readings are kept, they are not known to be. */
const NOT_YET_RECORDING = { isRecording: false, waitingCount: 0, lostCount: 0, because: null };

export function newestState(clock: Clock): NewestState {
  const figures = new Map<string, FigureMessage>();
  const readings = new Map<string, Reading>();
  const alarms = new Map<string, AlarmMessage>();
  const links = new Map<string, LinkStatus>();
  let recording: RecordingStatus | null = null;
  let lots: readonly Lot[] = [];
  let shifts: readonly Shift[] = [];
  let timeMs: number | null = null;
  let takenMs: number | null = null;

  function take(update: LiveUpdate): void {
    for (const figure of update.figures) figures.set(figure.id, figure);
    for (const reading of update.readings) takeReading(readings, reading);
    for (const alarm of update.alarms) takeAlarm(alarms, alarm);
    for (const link of update.links) links.set(link.endpoint, link);
    recording = update.recording ?? recording;
    lots = update.lots ?? lots;
    shifts = update.shifts ?? shifts;
    timeMs = update.timeMs;
    takenMs = clock.nowMs();
  }

  function snapshot(watch?: Watch): Snapshot | null {
    if (timeMs === null) return null;
    const told = watch === undefined ? [...readings.values()] : watched(watch.tags, readings);
    const hearsAlarms = watch?.alarms ?? true;
    return {
      contractVersion: CONTRACT_VERSION,
      timeMs,
      figures: watch === undefined ? [...figures.values()] : watched(watch.figures, figures),
      readings: told.map((reading) => columnsOf(reading.tag, [reading])),
      alarms: hearsAlarms ? [...alarms.values()] : [],
      links: [...links.values()],
      recording: recording ?? { ...NOT_YET_RECORDING, sinceMs: timeMs },
      lots: [...lots],
      shifts: [...shifts],
    };
  }

  return { take, snapshot, takenMs: () => takenMs };
}

/** A reading that comes late does not become the newest. */
function takeReading(readings: Map<string, Reading>, reading: Reading): void {
  const before = readings.get(reading.tag);
  if (before === undefined || reading.sourceTimeMs >= before.sourceTimeMs) readings.set(reading.tag, reading);
}

function takeAlarm(alarms: Map<string, AlarmMessage>, alarm: AlarmMessage): void {
  if (alarm.state === 'normal') alarms.delete(alarm.id);
  else alarms.set(alarm.id, alarm);
}
