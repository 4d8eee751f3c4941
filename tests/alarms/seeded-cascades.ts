import type { PlantConfig } from '#server/config/plant-config.ts';
import type { Reading } from '#server/contract/reading.ts';
import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { alarmStateAtStart, standingAlarms } from '#server/alarms/alarm-state.ts';
import { stepAlarms } from '#server/alarms/step-alarms.ts';
import {
  advanceLogic,
  blockDrive,
  createLineLogic,
  takeChanges,
  type ContactChange,
} from '#simulator/logic/line-logic.ts';
import { contactNodeOf, DRIVES, PUMPS } from '#simulator/logic/sequence.ts';

/** How the contacts are seen: 0 samples each at its own instant. */
export interface Sampling {
  readonly samplingMs: number;
  readonly resolutionMs: number;
  /** The rule that the controller's own first-out latch names; left out where it has none. */
  readonly latched?: string;
}

const LATCH_TAG = 'a.line.first-out';

/** Every drive of the plant whose stop is an alarm, on the route of the lot. */
export const STOPPABLE = DRIVES.filter(
  (drive) => !PUMPS.includes(drive) && !drive.startsWith('LengthGrader'),
);

const TICK_MS = 250;
const STOP_MS = 20_000;
const END_MS = 26_000;

/** The contact changes of one cascade, by the plant's own interlocks; the stop falls anywhere within a second. */
export function cascadeOf(seed: number, first: string, laterMs = 0): readonly ContactChange[] {
  const logic = createLineLogic({ seed, isOnRoute, restartAfterMs: 3_600_000 });
  const atMs = STOP_MS + ((seed * 389) % 1000) + laterMs;
  blockDrive(logic, { drive: first, reason: 'overload', atMs });
  advanceLogic(logic, END_MS);
  return takeChanges(logic).filter(({ node }) => node.endsWith('unning'));
}

/** The rules that the alarms name as first, and how often anyone was asked. */
export function toldOf(config: PlantConfig, changes: readonly ContactChange[], sampling: Sampling) {
  const firstStop = config.alarms.firstStop.map((entry) => ({
    ...entry,
    resolutionMs: sampling.resolutionMs,
    ...(sampling.latched === undefined
      ? {}
      : { latch: { tag: LATCH_TAG, rules: { '1': sampling.latched } } }),
  }));
  const setup = alarmSetup({ ...config.alarms, firstStop }, config.lines);
  const readings = [...readingsOf(config, changes, sampling), ...latchReadings(changes, sampling)];
  const latest = new Map<string, Reading>();
  let state = alarmStateAtStart(setup);
  let annunciations = 0;
  for (let endMs = TICK_MS; endMs <= END_MS; endMs += TICK_MS) {
    const inFrame = readings.filter(
      ({ sourceTimeMs }) => sourceTimeMs > endMs - TICK_MS && sourceTimeMs <= endMs,
    );
    for (const reading of inFrame) latest.set(reading.tag, reading);
    const frame = { endMs, tickMs: TICK_MS, readings: inFrame, latest: new Map(latest) };
    const step = stepAlarms(setup, state, { frame, figures: new Map(), acknowledgements: [] });
    annunciations += step.transitions.filter(({ to }) => to === 'unacknowledged').length;
    state = step.state;
  }
  const asked = standingAlarms(setup, state).filter((alarm) => alarm.state === 'unacknowledged');
  const named = asked.flatMap(({ id, candidates }) =>
    candidates === undefined ? [id] : candidates.map((machine) => `a.${machine}.stopped`),
  );
  return { named: named.sort(), annunciations };
}

/** A latch is read like any other tag: within the sampling interval after the stop. */
function latchReadings(
  changes: readonly ContactChange[],
  { latched, samplingMs }: Sampling,
): readonly Reading[] {
  const [first] = changes;
  if (latched === undefined || first === undefined) return [];
  const sourceTimeMs = first.timeMs + samplingMs;
  return [{ tag: LATCH_TAG, sourceTimeMs, arrivalMs: sourceTimeMs, value: 1, quality: 'good' }];
}

/** All contacts closed and seed flowing; then the changes, each seen when its tag is next sampled. */
function readingsOf(
  config: PlantConfig,
  changes: readonly ContactChange[],
  { samplingMs }: Sampling,
): readonly Reading[] {
  const tagOf = new Map(config.addresses.map(({ tag, node }) => [node.split(';s=')[1] ?? node, tag]));
  const reading = (node: string, sourceTimeMs: number, value: number): Reading[] => {
    const tag = tagOf.get(node);
    return tag === undefined ? [] : [{ tag, sourceTimeMs, arrivalMs: sourceTimeMs, value, quality: 'good' }];
  };
  const seenMs = (node: string, timeMs: number) => {
    if (samplingMs === 0) return timeMs;
    const phaseMs = phaseOf(node, samplingMs);
    return Math.ceil((timeMs - phaseMs) / samplingMs) * samplingMs + phaseMs;
  };
  return [
    ...DRIVES.flatMap((drive) => reading(contactNodeOf(drive), 1000, isOnRoute(machineOf(drive)) ? 1 : 0)),
    ...[1000, STOP_MS - 1000].flatMap((timeMs) =>
      ['Intake.MassFlow', 'Treater.SeedFlow'].flatMap((node) => reading(node, timeMs, 13_000)),
    ),
    ...changes.flatMap(({ node, value, timeMs }) => reading(node, seenMs(node, timeMs), value ? 1 : 0)),
  ].sort((a, b) => a.sourceTimeMs - b.sourceTimeMs);
}

/** Tags are not polled at one instant: each has its own place in the round. */
function phaseOf(node: string, samplingMs: number): number {
  let hash = 7;
  for (const letter of node) hash = (hash * 31 + letter.charCodeAt(0)) % 9973;
  return hash % samplingMs;
}

/** Soybeans pass no length grader. */
function isOnRoute(machine: string): boolean {
  return machine !== 'LengthGrader';
}

function machineOf(drive: string): string {
  return drive.split('.')[0] ?? drive;
}
