import { Fault } from '../contract/faults.ts';
import type { CommandRequest, CommandResult } from '../contract/commands.ts';
import type { Clock } from '../ports/clock.ts';
import type { CommandDesk } from '../ports/command-desk.ts';
import type { MachineWatch } from '../ports/machine-watch.ts';

/** A desk that also has machines learnt: the command is judged and journalled as any other, then carried out here. */
export function learningDesk(desk: CommandDesk, watch: MachineWatch, clock: Clock): CommandDesk {
  return {
    async carryOut(request: CommandRequest): Promise<CommandResult> {
      const result = await desk.carryOut(request);
      const { actor, command } = request;
      if (!result.done || command.kind !== 'learn-machine') return result;
      try {
        const { id } = await watch.learn(command, { actor, timeMs: clock.nowMs() });
        return { done: true, recordId: id };
      } catch (error) {
        if (error instanceof Fault) return { done: false, refused: error.message };
        throw error;
      }
    },
  };
}
