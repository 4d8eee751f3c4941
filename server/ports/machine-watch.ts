import type { LearnMachine, MachinePage, MachinesAnswer } from '../contract/machine-standing.ts';
import type { MachineBaseline } from '../contract/machine-records.ts';
import type { Authorship, TimeRange } from './record-store.ts';

/** What can be asked of the machines' condition. Learning and judging run in a thread of their own. */
export interface MachineWatch {
  /** All machines in order of concern, as of the last window of ten minutes. */
  standing(): Promise<MachinesAnswer>;
  /** One machine over a time; null when there is none of that name. */
  page(machine: string, range: TimeRange): Promise<MachinePage | null>;
  /**
   * Learns a machine from a period that a person says was healthy, keeps it as a new version and begins to watch anew.
   * Rejects with COMMAND_REFUSED when the machine is not known or the period holds too little running.
   */
  learn(asked: LearnMachine, by: Authorship): Promise<MachineBaseline>;
}
