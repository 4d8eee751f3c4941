import type { AlarmCatalogue } from '../contract/alarm-catalogue.ts';
import type { AlarmMeasures, ShiftMeasures } from '../contract/alarm-measures.ts';
import type { ReplayAnswer, ReplayRequest } from '../contract/alarm-replay.ts';
import type { TimeRange } from './record-store.ts';

/** What can be asked of the alarms beyond how they stand: what they mean, how good they are, how they might be. */
export interface AlarmStudy {
  readonly catalogue: AlarmCatalogue;
  /** The numbers of a time; of one line, or of all lines together. */
  measures(range: TimeRange, line: string | null): Promise<AlarmMeasures>;
  /** The numbers of each shift that began in a time, newest first. */
  shiftMeasures(range: TimeRange): Promise<readonly ShiftMeasures[]>;
  /**
   * Plays recorded history to the rules as they are and as proposed. One replay runs at a time, the others wait.
   * Rejects with a fault CONFIG_* that names the place in the proposal, REQUEST_INVALID for a time that is too long,
   * or the signal's reason.
   */
  replay(request: ReplayRequest, signal: AbortSignal): Promise<ReplayAnswer>;
}
