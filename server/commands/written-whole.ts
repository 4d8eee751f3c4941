import { createWriteStream } from 'node:fs';
import { rename, rm, stat } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';
import { Fault } from '../contract/faults.ts';

/** Writes a file that has its name only once it is whole; answers with its bytes. */
export async function toFile(body: AsyncIterable<Uint8Array>, file: string): Promise<number> {
  const part = `${file}.unfinished`;
  try {
    await pipeline(body, createWriteStream(part, { flush: true }));
    await rename(part, file);
    return (await stat(file)).size;
  } catch (error) {
    await rm(part, { force: true });
    throw isOfSystem(error) ? unwritable(file, error) : error;
  }
}

/** Until all is written, or the program that reads it, such as a pager, has seen enough. */
export async function toStandardOutput(body: AsyncIterable<Uint8Array>): Promise<void> {
  try {
    await pipeline(body, process.stdout, { end: false });
  } catch (error) {
    if (!isOfSystem(error) || error.code !== 'EPIPE') throw error;
  }
}

function isOfSystem(error: unknown): error is NodeJS.ErrnoException {
  return error instanceof Error && 'syscall' in error;
}

function unwritable(subject: string, error: Error): Fault {
  const expected = 'a file that can be written in full';
  const remedy = 'nothing is left of it; make room, or name another with --out';
  return new Fault('ARGUMENT_INVALID', { subject, got: error.message, expected, remedy }, { cause: error });
}
