import { describe, expect, it } from 'vitest';
import { Fault } from '#server/contract/faults.ts';
import { roomFault } from '#server/pipeline/room-fault.ts';

describe('roomFault', () => {
  it('names the full disk instead of what SQLite makes of it', async () => {
    const cause = new Error('disk I/O error');
    const fault = await roomFault('data', cause, () => Promise.resolve(40_960));
    expect(fault).toBeInstanceOf(Fault);
    expect(fault).toMatchObject({
      message:
        'DATA_FOLDER data free [MB]: got 0.0, expected >= 1 to start with; make room, or name another folder with --data; server not started',
      cause,
    });
  });

  it.each([[1_000_000], [null]])('leaves the error as it is with %s bytes free', async (free) => {
    const error = new Error('a damaged file');
    expect(await roomFault('data', error, () => Promise.resolve(free))).toBe(error);
  });
});
