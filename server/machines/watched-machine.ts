import { phaseUnbalance } from '../calc/condition/phase-unbalance.ts';
import { amperes } from '../calc/units.ts';
import type { MachineEntry, MachineSettings, SignalSettings } from '../contract/machine-settings.ts';
import type { MachinePlan, SignalPlan } from './signal-plan.ts';

/** A machine of the configuration with the tags that it is watched by. */
export interface WatchedMachine {
  readonly plan: MachinePlan;
  readonly line: string;
  readonly runningTag: string;
  /** What is measured, by its name in the configuration. */
  readonly tags: ReadonlyMap<string, string>;
  /** What bears on the machine: load, ambient, mains. */
  readonly influences: ReadonlyMap<string, string>;
}

/** The machines that can be watched with the tags that there are: a run contact and one signal at least. */
export function watchedMachines(
  settings: MachineSettings,
  isThere: (tag: string) => boolean,
): readonly WatchedMachine[] {
  return settings.machines.flatMap((entry) => {
    const kind = settings.kinds[entry.kind];
    if (kind === undefined) return [];
    const own = (signal: string) => `${entry.line}.${entry.machine}.${signal}`;
    const tags = new Map<string, string>();
    for (const [name, signal] of Object.entries({ ...kind.signals, ...entry.signals })) {
      if (isThere(own(signal))) tags.set(name, own(signal));
    }
    const judged = settings.signals.filter(({ signal }) => isMeasured(signal, tags));
    const runningTag = own(kind.running);
    if (judged.length === 0 || !isThere(runningTag)) return [];
    const signals = judged.map((signal) => signalPlan(signal, entry));
    const influences = influencesOf(settings, entry.line, isThere);
    return [
      {
        plan: { machine: entry.id, kind: entry.kind, signals },
        line: entry.line,
        runningTag,
        tags,
        influences,
      },
    ];
  });
}

const PHASES = ['motor-current-l1', 'motor-current-l2', 'motor-current-l3'] as const;

function isMeasured(signal: string, tags: ReadonlyMap<string, string>): boolean {
  if (signal === 'current-unbalance') return PHASES.every((phase) => tags.has(phase));
  if (signal === 'belt-ratio') return tags.has('driven-speed') && tags.has('motor-speed');
  return tags.has(signal);
}

function signalPlan(settings: SignalSettings, entry: MachineEntry): SignalPlan {
  const limits = { ...settings.limits, ...entry.limits?.[settings.signal] };
  return {
    signal: settings.signal,
    residual: settings.residual,
    explainedBy: settings.explainedBy,
    settleMs: settings.settleMinutes * 60_000,
    smallest: settings.smallest,
    isShared: settings.isShared,
    limits: {
      deviationHigh: limits.deviationHigh ?? null,
      deviationLow: limits.deviationLow ?? null,
      valueHigh: limits.valueHigh ?? null,
    },
  };
}

function influencesOf(
  { influences }: MachineSettings,
  line: string,
  isThere: (tag: string) => boolean,
): ReadonlyMap<string, string> {
  const { load, ambient, mains } = influences.find((own) => own.line === line) ?? {};
  const named = Object.entries({ load, ambient, mains });
  return new Map(
    named.flatMap(([name, tag]) =>
      tag !== undefined && isThere(`${line}.${tag}`) ? [[name, `${line}.${tag}`] as const] : [],
    ),
  );
}

/** Below this mean the motor is off and the share of a phase is noise. */
const CURRENT_FLOOR_A = 0.2;
const SPEED_FLOOR_PER_MIN = 50;

/** Adds what follows from several measured values: the unbalance of the phases, the ratio of a belt's two speeds. */
export function withDerived(measured: ReadonlyMap<string, number>): ReadonlyMap<string, number> {
  const values = new Map(measured);
  const [a, b, c] = PHASES.map((phase) => measured.get(phase));
  if (a !== undefined && b !== undefined && c !== undefined) {
    const unbalance = phaseUnbalance({
      values: [amperes(a), amperes(b), amperes(c)],
      meanFloor: amperes(CURRENT_FLOOR_A),
    });
    if (unbalance.known) values.set('current-unbalance', unbalance.value);
  }
  const [driven, motor] = [measured.get('driven-speed'), measured.get('motor-speed')];
  if (driven !== undefined && motor !== undefined && motor > SPEED_FLOOR_PER_MIN)
    values.set('belt-ratio', driven / motor);
  return values;
}
