import type { Machine } from '../../../server/contract/line-graph.ts';
import type { LatestReading } from '../../live/live-stores.ts';

export type MachineState = 'running' | 'stopped' | 'bypassed' | 'unknown' | 'unmeasured' | 'waiting';

export interface MachineReadings {
  readonly running: LatestReading | undefined;
  readonly bypassed: LatestReading | undefined;
}

/** How a machine stands, by its contacts. A contact that cannot be trusted says nothing. */
export function machineState(machine: Machine, { running, bypassed }: MachineReadings): MachineState {
  if (isTrusted(bypassed) && bypassed.value === 1) return 'bypassed';
  if (machine.runningTag === null) return 'unmeasured';
  if (running === undefined) return 'waiting';
  if (!isTrusted(running)) return 'unknown';
  return running.value === 0 ? 'stopped' : 'running';
}

function isTrusted(
  reading: LatestReading | undefined,
): reading is LatestReading & { readonly value: number } {
  return (
    reading !== undefined &&
    reading.value !== null &&
    (reading.quality === 'good' || reading.quality === 'uncertain')
  );
}
