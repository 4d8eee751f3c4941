import { statfs } from 'node:fs/promises';

/** What a program without special rights may still write where the folder is; null where that cannot be told. */
export async function freeBytes(folder: string): Promise<number | null> {
  try {
    const { bavail, bsize } = await statfs(folder);
    return bavail * bsize;
  } catch {
    return null;
  }
}
