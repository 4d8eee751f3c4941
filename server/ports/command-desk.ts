import type { CommandRequest, CommandResult } from '../contract/commands.ts';

/** The one place where people change anything. Answers when the change is durable, on the pipeline's next tick. */
export interface CommandDesk {
  carryOut(request: CommandRequest): Promise<CommandResult>;
}
