import { open, rename, type FileHandle } from 'node:fs/promises';
import { faultText, type FaultParts } from '../contract/faults.ts';

export interface LogFileOptions {
  readonly file: string;
  /** Where lines go, too, while the file does not take them. */
  readonly elsewhere: (text: string) => void;
  /** A full file becomes `<file>.1`, and the one before it is gone. */
  readonly bytesMax?: number;
  readonly retryMs?: number;
}

const BYTES_MAX = 20_000_000;
const RETRY_MS = 5000;
/** Kept while the file does not take them; the oldest go first. */
const WAITING_LINES_MAX = 5000;

/**
 * The log, on a disk that may be full: lines are written behind the caller's back and never hold it up. The usual
 * writer of the log library waits for a full disk inside the call, and with it the whole server.
 *
 *     idle --- a line ---> writing --- taken ---> idle
 *     writing --- refused ---> waiting --- retryMs ---> writing the same lines again
 */
export class LogFile {
  readonly #options: Required<LogFileOptions>;
  #waiting: Buffer[] = [];
  #lostCount = 0;
  #isRefused = false;
  #handle: FileHandle | null = null;
  #work: Promise<void> | null = null;

  constructor(options: LogFileOptions) {
    this.#options = { bytesMax: BYTES_MAX, retryMs: RETRY_MS, ...options };
  }

  /** One line, with its end. */
  write(line: string): void {
    if (this.#isRefused) this.#options.elsewhere(line);
    this.#waiting.push(Buffer.from(line));
    if (this.#waiting.length > WAITING_LINES_MAX) {
      this.#waiting.shift();
      this.#lostCount += 1;
    }
    if (!this.#isRefused) this.#begin();
  }

  /** Resolves when everything is in the file, or the file has refused it. */
  async close(): Promise<void> {
    this.#begin();
    await this.#work;
    await this.#handle?.close();
    this.#handle = null;
  }

  #begin(): void {
    this.#work ??= this.#drain().finally(() => {
      this.#work = null;
    });
  }

  async #drain(): Promise<void> {
    try {
      while (this.#waiting.length > 0) await this.#writeSome();
      this.#isRefused = false;
    } catch (error) {
      this.#refused(error);
    }
  }

  async #writeSome(): Promise<void> {
    const handle = await this.#roomyFile();
    const lines = this.#waiting.slice(0, 100);
    const bytes = Buffer.concat(lines);
    const { bytesWritten } = await handle.write(bytes);
    // A full disk may take a part: only what is left of the lines waits on.
    const rest = bytes.subarray(bytesWritten);
    this.#waiting.splice(0, lines.length, ...(rest.length === 0 ? [] : [rest]));
    if (this.#lostCount > 0 && rest.length === 0) this.#tellLost();
  }

  async #roomyFile(): Promise<FileHandle> {
    const { file, bytesMax } = this.#options;
    this.#handle ??= await open(file, 'a');
    if ((await this.#handle.stat()).size < bytesMax) return this.#handle;
    await this.#handle.close();
    this.#handle = null;
    await rename(file, `${file}.1`);
    this.#handle = await open(file, 'a');
    return this.#handle;
  }

  #tellLost(): void {
    const line = JSON.stringify({
      level: 40,
      msg: `${this.#lostCount} lines of this log were lost before this one`,
    });
    this.#waiting.unshift(Buffer.from(`${line}\n`));
    this.#lostCount = 0;
  }

  #refused(error: unknown): void {
    if (!this.#isRefused) {
      this.#options.elsewhere(`${faultText('LOG_UNWRITABLE', unwritable(this.#options.file, error))}\n`);
      for (const line of this.#waiting) this.#options.elsewhere(line.toString());
    }
    this.#isRefused = true;
    setTimeout(() => {
      this.#begin();
    }, this.#options.retryMs).unref();
  }
}

function unwritable(subject: string, error: unknown): FaultParts {
  const got = error instanceof Error ? error.message : String(error);
  const remedy = 'its lines follow here, and are written there as soon as it takes them';
  return { subject, got, expected: 'a file that takes lines', remedy };
}
