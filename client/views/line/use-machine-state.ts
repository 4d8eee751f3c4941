import type { Machine } from '../../../server/contract/line-graph.ts';
import { useConnection, useReading } from '../../live/use-live.ts';
import { machineState, type MachineState } from './machine-state.ts';

export function useMachineState(machine: Machine): MachineState {
  const running = useReading(machine.runningTag);
  const bypassed = useReading(machine.bypassedTag);
  const isLost = useConnection().state === 'lost';
  return isLost ? 'unknown' : machineState(machine, { running, bypassed });
}
