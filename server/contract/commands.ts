import { Type, type Static } from 'typebox';
import { AlarmCommands } from './alarm-commands.ts';
import { LearnMachineSchema } from './machine-standing.ts';
import { ActorSchema, HandSampleDetailsSchema, LotDetailsSchema, MarkDetailsSchema } from './records.ts';

/**
 * The only ways to change anything. None of them reaches the plant. Each is journalled with its actor
 * before it is answered.
 */
export const CommandSchema = Type.Union(
  [
    ...AlarmCommands,
    Type.Object({ kind: Type.Literal('start-lot'), lot: LotDetailsSchema }),
    Type.Object({ kind: Type.Literal('end-lot'), line: Type.String() }),
    Type.Object({ kind: Type.Literal('write-mark'), mark: MarkDetailsSchema }),
    Type.Object({ kind: Type.Literal('record-hand-sample'), sample: HandSampleDetailsSchema }),
    LearnMachineSchema,
  ],
  { $id: 'Command' },
);
export type Command = Static<typeof CommandSchema>;

export const CommandRequestSchema = Type.Object(
  { actor: ActorSchema, command: CommandSchema },
  { $id: 'CommandRequest' },
);
export type CommandRequest = Static<typeof CommandRequestSchema>;

/** `refused` carries a fault code with its sentence: what was wrong and what to do. */
export const CommandResultSchema = Type.Union(
  [
    Type.Object({ done: Type.Literal(true), recordId: Type.Union([Type.Integer(), Type.Null()]) }),
    Type.Object({ done: Type.Literal(false), refused: Type.String() }),
  ],
  { $id: 'CommandResult' },
);
export type CommandResult = Static<typeof CommandResultSchema>;
