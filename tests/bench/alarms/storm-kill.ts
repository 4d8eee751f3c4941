import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { AlarmTransition } from '#server/contract/alarm-message.ts';
import type { AlarmConfiguration } from '#server/contract/alarm-rule.ts';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { storm } from './storm.ts';

export interface StormKills {
  readonly kills: number;
  /** Transitions that were told durable before the kill. */
  readonly durable: number;
  /** Of those, not found again as they were. */
  readonly lost: number;
  /** Ticks of which some transitions were found and some not. */
  readonly torn: number;
}

const JOURNALLER = fileURLToPath(new URL('doomed-journal.ts', import.meta.url));
const ALL_TIME = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
const LONGEST_LIFE_MS = 30_000;

/** Kills a journalling process in a storm, again and again, each time after another while. */
export async function killedInStorms(
  configuration: AlarmConfiguration,
  { folder, kills, seed }: { readonly folder: string; readonly kills: number; readonly seed: number },
): Promise<StormKills> {
  let sum: StormKills = { kills: 0, durable: 0, lost: 0, torn: 0 };
  for (let kill = 0; kill < kills; kill += 1) {
    const file = join(folder, `storm-${kill}.sqlite`);
    const durable = await durableBeforeKill(file, 20 + ((kill * 7919 + seed) % 500));
    const kept = await keptIn(file);
    const found = heldAgainstStorm(configuration, kept, durable);
    sum = {
      kills: kill + 1,
      durable: sum.durable + durable,
      lost: sum.lost + found.lost,
      torn: sum.torn + found.torn,
    };
  }
  return sum;
}

/** Counted from its first word: starting takes longer than the storm is let rage. */
async function durableBeforeKill(file: string, afterMs: number): Promise<number> {
  const child = spawn(process.execPath, [JOURNALLER, file], { stdio: ['ignore', 'pipe', 'pipe'] });
  let [told, complaints] = ['', ''];
  child.stdout.on('data', (data: Buffer) => {
    // Only the end matters; what is kept stays short.
    told = (told + data.toString()).slice(-4096);
  });
  child.stderr.on('data', (data: Buffer) => (complaints += data.toString()));
  child.stdout.once('data', () => setTimeout(() => child.kill('SIGKILL'), afterMs));
  const longest = setTimeout(() => child.kill('SIGKILL'), LONGEST_LIFE_MS);
  const signal = await new Promise((resolve) => child.once('close', (_, by) => resolve(by)));
  clearTimeout(longest);
  const lines = told.slice(0, told.lastIndexOf('\n')).split('\n');
  const durable = Number(lines.at(-1));
  if (signal !== 'SIGKILL' || complaints !== '' || !(durable > 0))
    throw new Error(`the journalling process fell by itself: ${complaints}`);
  return durable;
}

async function keptIn(file: string): Promise<readonly AlarmTransition[]> {
  const records = openRecordStore({ file });
  try {
    return await records.alarmJournal(ALL_TIME);
  } finally {
    await records.close();
  }
}

function heldAgainstStorm(
  configuration: AlarmConfiguration,
  kept: readonly AlarmTransition[],
  durable: number,
): { readonly lost: number; readonly torn: number } {
  const keptKeys = new Set(kept.map(keyOf));
  let [expected, lost, torn] = [0, 0, 0];
  for (const { transitions } of storm(configuration)) {
    const missing = transitions.filter((transition) => !keptKeys.has(keyOf(transition))).length;
    if (expected < durable) lost += missing;
    else if (missing > 0 && missing < transitions.length) torn += 1;
    else if (missing > 0) break;
    expected += transitions.length;
  }
  return { lost, torn };
}

function keyOf({ alarm, timeMs, from, to, code }: AlarmTransition): string {
  return `${alarm} ${timeMs} ${from} ${to} ${code}`;
}
