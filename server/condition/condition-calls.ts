import type { MachineBaseline, SignalBaseline } from '../contract/machine-records.ts';
import type { MachineSettings } from '../contract/machine-settings.ts';
import type { CommonShift, MachineStanding, SignalCourse } from '../contract/machine-standing.ts';
import type { WatchedMachine } from '../machines/watched-machine.ts';
import type { Serviced } from './checks-of.ts';
import type { FindingNews } from './machine-keeper.ts';
import type { RecordedStretch } from './recorded-stretch.ts';

/** What the thread is started with. */
export interface ConditionSetup {
  readonly settings: MachineSettings;
  readonly machines: readonly WatchedMachine[];
}

/** What can be asked of the thread, and what it answers. */
export interface ConditionCalls {
  use: { readonly ask: MachineBaseline; readonly answer: null };
  serviced: {
    readonly ask: { readonly machine: string; readonly counters: Serviced };
    readonly answer: null;
  };
  take: { readonly ask: RecordedStretch; readonly answer: readonly FindingNews[] };
  /** A healthy period comes day by day, and is learnt from when all of it is there. */
  gather: {
    readonly ask: { readonly stretch: RecordedStretch; readonly isFirst: boolean };
    readonly answer: null;
  };
  learn: { readonly ask: { readonly machine: string }; readonly answer: readonly SignalBaseline[] };
  standing: {
    readonly ask: null;
    readonly answer: {
      readonly machines: readonly MachineStanding[];
      readonly common: readonly CommonShift[];
    };
  };
  courses: {
    readonly ask: { readonly machine: string; readonly fromMs: number; readonly toMs: number };
    readonly answer: readonly SignalCourse[];
  };
}

export type CallName = keyof ConditionCalls;

export interface Asked<Name extends CallName = CallName> {
  readonly id: number;
  readonly name: Name;
  readonly ask: ConditionCalls[Name]['ask'];
}

export type Answered =
  { readonly id: number; readonly answer: unknown } | { readonly id: number; readonly failed: string };
