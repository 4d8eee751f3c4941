import type { Machine } from '../../../server/contract/line-graph.ts';
import type { MachinePlace } from './ribbon-layout.ts';
import { useMachineState } from './use-machine-state.ts';

const BAR_PX = 7;
/** Elevators and conveyors carry seed and take nothing out: they stand back a little. */
const MINOR_BAR_PX = 4;

export function MachineBar({ machine, place }: { readonly machine: Machine; readonly place: MachinePlace }) {
  const state = useMachineState(machine);
  const widthPx = machine.kind === 'elevator' || machine.kind === 'conveyor' ? MINOR_BAR_PX : BAR_PX;
  return (
    <rect
      className={`ribbon-machine ribbon-machine-${state}`}
      x={place.xPx - widthPx / 2}
      y={place.topPx}
      width={widthPx}
      height={place.bottomPx - place.topPx}
      rx={2}
    />
  );
}
