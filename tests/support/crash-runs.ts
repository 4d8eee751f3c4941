import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { openEngine, type Engine } from '#server/history/engine/engine.ts';
import { KEEP_ALL } from '#server/history/engine/retention.ts';
import type { CrashPoint } from '#server/history/engine/crash-point.ts';
import {
  DOOMED_SAMPLES,
  DOOMED_SERIES,
  DOOMED_START_MS,
  doomedDefinitions,
  isRightValue,
  sequenceOf,
} from './doomed-batch.ts';

const RECORDER = fileURLToPath(new URL('doomed-recorder.ts', import.meta.url));
const YEARS_MS = 10 * 365 * 86_400_000;
const LONGEST_LIFE_MS = 20_000;

/** How the recorder dies: at a point, when it has passed it some times, or by others after some time. */
export type Death = { readonly at: CrashPoint; readonly passes: number } | { readonly afterMs: number };

export interface Found {
  /** Samples of batches that were told durable and are not there, or with another value. */
  readonly lost: number;
  /** Batches of which some samples are there and some not. */
  readonly torn: number;
  /** 1 when the store did not open. */
  readonly refused: number;
  readonly openedInMs: number;
  /** Batches told durable so far. */
  readonly durable: number;
}

/** Lets a recorder run on the folder until it is killed; resolves with the last sequence that it told durable. */
export async function runUntilKilled(folder: string, death: Death): Promise<number> {
  const point = 'at' in death ? [death.at, String(death.passes)] : ['-', '0'];
  const child = spawn(process.execPath, [RECORDER, folder, ...point], { stdio: ['ignore', 'pipe', 'pipe'] });
  let told = '';
  let complaints = '';
  child.stdout.on('data', (data: Buffer) => {
    // Only the end matters; what is kept stays short.
    told = (told + data.toString()).slice(-4096);
  });
  child.stderr.on('data', (data: Buffer) => (complaints += data.toString()));
  // Counted from its first batch: starting takes longer than it often lives.
  if ('afterMs' in death) {
    child.stdout.once('data', () => setTimeout(() => child.kill('SIGKILL'), death.afterMs).unref());
  }
  const longest = setTimeout(() => child.kill('SIGKILL'), LONGEST_LIFE_MS);
  const signal = await new Promise((resolve) => child.once('close', (_, by) => resolve(by)));
  clearTimeout(longest);
  if (signal !== 'SIGKILL' || complaints !== '')
    throw new Error(`the recorder fell by itself: ${complaints}`);
  const lines = told.slice(0, told.lastIndexOf('\n')).split('\n');
  if ('at' in death && lines.at(-1) !== 'cut') throw new Error(`the recorder never came to ${death.at}`);
  return Number(lines.findLast((line) => line !== 'cut' && line !== '') ?? -1);
}

/** Opens what the killed recorder left, and looks for every batch that it told durable. */
export function lookFor(folder: string, lastDurable: number): Found {
  const startMs = performance.now();
  let engine;
  try {
    engine = openEngine({
      folder,
      isReadOnly: false,
      nowMs: () => DOOMED_START_MS,
      tickMs: () => performance.now(),
      report: () => undefined,
      reach: () => undefined,
      retention: KEEP_ALL,
    });
  } catch {
    return {
      lost: 0,
      torn: 0,
      refused: 1,
      openedInMs: performance.now() - startMs,
      durable: lastDurable + 1,
    };
  }
  const openedInMs = performance.now() - startMs;
  engine.register(doomedDefinitions(), 0);
  const right = rightSamples(engine);
  engine.close();
  let lost = 0;
  for (let sequence = 0; sequence <= lastDurable; sequence++)
    lost += DOOMED_SAMPLES - (right.get(sequence) ?? 0);
  const torn = [...right].filter(
    ([sequence, count]) => sequence > lastDurable && count !== DOOMED_SAMPLES,
  ).length;
  return { lost, torn, refused: 0, openedInMs, durable: lastDurable + 1 };
}

/** How many samples of each sequence are there with their value. */
function rightSamples(engine: Engine): ReadonlyMap<number, number> {
  const right = new Map<number, number>();
  const series = Array.from({ length: DOOMED_SERIES }, (_, i) => i + 1);
  for (const piece of engine.raw({ series, fromMs: 0, toMs: DOOMED_START_MS + YEARS_MS })) {
    if (piece === null) continue;
    for (const [i, timeMs] of piece.timeMs.entries()) {
      const sequence = sequenceOf(timeMs);
      const isRight = isRightValue(sequence, piece.series, { timeMs, value: piece.value[i] ?? NaN });
      right.set(sequence, (right.get(sequence) ?? 0) + (isRight ? 1 : 0));
    }
  }
  return right;
}
