import { Fault } from '../contract/faults.ts';
import { freeBytes } from './free-bytes.ts';

/** What the stores need to be opened at all, with a margin. */
const ROOM_BYTES = 1e6;
const BYTES_PER_MB = 1e6;

/**
 * Why a store could not be opened: on a full disk SQLite says that the disk does not answer, which sends people to the
 * wrong place. A server that runs already goes on without room; one that starts needs some.
 */
export async function roomFault(folder: string, error: unknown, freeOf = freeBytes): Promise<unknown> {
  const free = await freeOf(folder);
  if (free === null || free >= ROOM_BYTES) return error;
  return new Fault(
    'DATA_FOLDER',
    {
      subject: `${folder} free [MB]`,
      got: (free / BYTES_PER_MB).toFixed(1),
      expected: `>= ${ROOM_BYTES / BYTES_PER_MB} to start with`,
      remedy: 'make room, or name another folder with --data; server not started',
    },
    { cause: error },
  );
}
