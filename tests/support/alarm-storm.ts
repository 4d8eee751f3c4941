import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { JournalEntry } from '#server/contract/alarm-journal.ts';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { reading } from '#tests/line/demo-readings.ts';
import { OVERFED_RULE } from '#tests/pipeline/pipeline-rig.ts';

/** 5,000 transitions in 10 s: each of 250 alarms comes and goes ten times. */
export const STORM = { rules: 250, transitions: 5000, lengthMs: 10_000 } as const;

const TURN_MS = (STORM.lengthMs * STORM.rules) / STORM.transitions;

export const STORM_RULES = Array.from({ length: STORM.rules }, (_, index) => ({
  ...OVERFED_RULE,
  id: `s.pit.overfed-${index}`,
}));

/** One tag that all rules watch, over their limit and back every half second. */
export function stormReadings(fromMs: number) {
  const turns = STORM.lengthMs / TURN_MS;
  return Array.from({ length: turns }, (_, turn) =>
    reading('s.pit.flow', fromMs + turn * TURN_MS, turn % 2 === 0 ? 13_000 : 10_000),
  );
}

export interface StormResult {
  /** Transitions that the journal had taken, as the dying server said. */
  readonly journalled: number;
  /** Entries found in the file afterwards. */
  readonly found: number;
  /** Journalled and not found; the promise is 0. */
  readonly lost: number;
  /** Alarms whose entries are no unbroken chain, or whose standing is not what their last entry says. */
  readonly torn: number;
  /** From the first to the last word of the server. */
  readonly tookMs: number;
}

const SERVER = fileURLToPath(new URL('storm-until-killed.ts', import.meta.url));

/**
 * Lets a server of its own process go through a storm, kills it without warning once it has journalled so many
 * transitions, and looks for them in the file.
 */
export async function stormKilledAfter(file: string, transitions: number): Promise<StormResult> {
  const server = spawn(process.execPath, [SERVER, file], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = once(server, 'exit');
  const startMs = performance.now();
  let journalled = 0;
  for await (const line of createInterface({ input: server.stdout })) {
    journalled = Number(line);
    if (journalled >= transitions) server.kill('SIGKILL');
  }
  await ended;
  return { journalled, ...(await lookedFor(file, journalled)), tookMs: performance.now() - startMs };
}

async function lookedFor(file: string, journalled: number) {
  const store = openRecordStore({ file });
  try {
    const everything = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER, after: null, limit: 1_000_000 };
    const entries = await store.alarmEntries({ ...everything, order: 'oldest-first' });
    const standing = new Map((await store.standingAlarms()).map(({ id, state }) => [id, state]));
    const chains = Map.groupBy(entries, ({ alarm }) => alarm);
    const torn = [...chains].filter(
      ([alarm, chain]) => !isUnbroken(chain) || (standing.get(alarm) ?? 'normal') !== chain.at(-1)?.to,
    );
    return { found: entries.length, lost: Math.max(0, journalled - entries.length), torn: torn.length };
  } finally {
    await store.close();
  }
}

function isUnbroken(chain: readonly JournalEntry[]): boolean {
  return chain.every(({ from }, index) => from === (chain[index - 1]?.to ?? 'normal'));
}
