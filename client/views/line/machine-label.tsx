import type { Machine } from '../../../server/contract/line-graph.ts';
import { useApp } from '../../live/app-context.ts';
import type { MachinePlace } from './ribbon-layout.ts';
import { useMachineState } from './use-machine-state.ts';

/** A machine's name and state above its bar. */
export function MachineLabel({
  machine,
  place,
}: {
  readonly machine: Machine;
  readonly place: MachinePlace;
}) {
  const { texts } = useApp();
  const state = useMachineState(machine);
  return (
    <li
      className={`ribbon-name ribbon-row-${place.labelRow}`}
      style={{ left: place.xPx, width: place.labelWidthPx }}
      data-machine={machine.id}
      data-state={state}
    >
      <b>{machine.name}</b>
      {machine.kind !== 'bin' && (
        <span className={state === 'stopped' ? 'ribbon-stopped' : ''}>{texts.machineState[state]}</span>
      )}
    </li>
  );
}
