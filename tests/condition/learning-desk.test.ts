import { describe, expect, it } from 'vitest';
import { learningDesk } from '#server/condition/learning-desk.ts';
import type { CommandRequest, CommandResult } from '#server/contract/commands.ts';
import { Fault } from '#server/contract/faults.ts';
import type { MachineWatch } from '#server/ports/machine-watch.ts';
import { aBaseline } from '#tests/support/record-builders.ts';
import { standingClock } from '#tests/web/web-fixture.ts';

const learn: CommandRequest = {
  actor: { id: 'Mia', role: 'maintenance' },
  command: {
    kind: 'learn-machine',
    line: 'a',
    machine: 'dust-fan',
    fromMs: 0,
    toMs: 1,
    reason: 'new bearing',
  },
};

function desk(judged: CommandResult, learnt: () => Promise<never> | ReturnType<MachineWatch['learn']>) {
  const asked: string[] = [];
  const watch: MachineWatch = {
    standing: () => Promise.reject(new Error('not asked')),
    page: () => Promise.resolve(null),
    learn: ({ machine }, { actor }) => {
      asked.push(`${machine} by ${actor.id}`);
      return learnt();
    },
  };
  return { asked, ...learningDesk({ carryOut: () => Promise.resolve(judged) }, watch, standingClock()) };
}

const kept = () => Promise.resolve({ ...aBaseline(), id: 7, writtenBy: learn.actor, writtenMs: 0 });

describe('learningDesk', () => {
  it('has the machine learnt once the command is journalled, and answers with the version', async () => {
    const { asked, carryOut } = desk({ done: true, recordId: null }, kept);
    expect(await carryOut(learn)).toEqual({ done: true, recordId: 7 });
    expect(asked).toEqual(['dust-fan by Mia']);
  });

  it('learns nothing when the command was refused, or was another one', async () => {
    const refused = { done: false, refused: 'COMMAND_FORBIDDEN' } as const;
    const forbidden = desk(refused, kept);
    expect(await forbidden.carryOut(learn)).toEqual(refused);
    const other = desk({ done: true, recordId: 3 }, kept);
    expect(await other.carryOut({ ...learn, command: { kind: 'end-lot', line: 'a' } })).toEqual({
      done: true,
      recordId: 3,
    });
    expect([...forbidden.asked, ...other.asked]).toEqual([]);
  });

  it('tells why nothing could be learnt', async () => {
    const parts = { subject: 'learn-machine x', got: 'y', expected: 'z', remedy: 'nothing was learnt' };
    const { carryOut } = desk({ done: true, recordId: null }, () =>
      Promise.reject(new Fault('COMMAND_REFUSED', parts)),
    );
    expect(await carryOut(learn)).toEqual({
      done: false,
      refused: 'COMMAND_REFUSED learn-machine x: got y, expected z; nothing was learnt',
    });
  });
});
