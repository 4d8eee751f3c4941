import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { Command, CommandResult } from '#server/contract/commands.ts';
import type { ReplayAnswer } from '#server/contract/alarm-replay.ts';
import type { Snapshot } from '#server/contract/socket-events.ts';
import { eventuallyResolves } from '#tests/support/eventually.ts';
import { demoSystem, type Started, type System } from '#tests/support/running-system.ts';

const STOPPED = 'a.destoner.stopped';
const SHELVED = 'a.elevator-1.belt-slow';
const READY_MS = 60_000;

let system: System;
let server: Started;

beforeEach(async () => {
  system = await demoSystem();
  await system.startSimulator();
  server = await system.startServer();
  await eventuallyResolves('the plant is watched', yieldIsKnown, READY_MS);
});

afterEach(async () => {
  await system.dispose();
});

describe('a server that is killed in the middle of alarms', () => {
  it('finds each as it was, and replays to the same answer by address and by command', async () => {
    const startMs = Date.now() - 60_000;
    await system.upset('destoner-stop');
    await eventuallyResolves('the stop is told', () => alarmIn(STOPPED, 'unacknowledged'));
    await done({ kind: 'acknowledge-alarm', alarm: STOPPED });
    await done({
      kind: 'shelve-alarm',
      alarm: SHELVED,
      forMs: 600_000,
      isOneShot: true,
      reason: 'belt is being tightened',
    });
    await done({ kind: 'take-machine-out-of-service', line: 'a', machine: 'scalper', reason: 'new screen' });
    const before = await alarmIn(STOPPED, 'acknowledged').then(withheldAndAcknowledged);
    expect(before.map(({ state }) => state)).toContain('out-of-service');
    const killedMs = Date.now();
    await server.end('SIGKILL');

    server = await system.startServer();
    await eventuallyResolves('it ticks again', () => answered('/api/alarms'), READY_MS);
    expect(await withheldAndAcknowledged()).toEqual(before);

    const proposal = `without: [${STOPPED}]`;
    const range = { fromMs: startMs, toMs: killedMs };
    const byAddress = await sent<ReplayAnswer>('/api/alarms/replay', { ...range, proposal });
    expect(byAddress.cost.find(({ alarm }) => alarm === STOPPED)).toEqual({
      alarm: STOPPED,
      inForce: 1,
      proposed: 0,
    });
    // The plant's own history may still be giving back the last second before the kill.
    const samples = expect.any(Number) as number;
    expect(replayedByCommand(proposal, range)).toEqual({ ...byAddress, samples });
  });
});

async function yieldIsKnown(): Promise<void> {
  const { figures } = await answered<Snapshot>('/api/now');
  const value = figures.find(({ id }) => id === 'a.line.yield')?.value ?? null;
  if (value === null) throw new Error('the yield is unknown');
}

function replayedByCommand(
  proposal: string,
  { fromMs, toMs }: { fromMs: number; toMs: number },
): ReplayAnswer {
  const rules = join(system.data, '..', 'proposal.yaml');
  writeFileSync(rules, proposal);
  const [from, to] = [fromMs, toMs].map((timeMs) => new Date(timeMs).toISOString());
  const given = { config: system.config, data: system.data, rules, from: from ?? '', to: to ?? '' };
  const args = Object.entries(given).flatMap(([name, value]) => [`--${name}`, value]);
  const command = ['server/commands/replay-alarms.ts', ...args, '--json'];
  return JSON.parse(execFileSync(process.execPath, command, { encoding: 'utf8' })) as ReplayAnswer;
}

async function alarmIn(id: string, state: AlarmMessage['state']): Promise<void> {
  const found = (await answered<readonly AlarmMessage[]>('/api/alarms')).find((alarm) => alarm.id === id);
  if (found?.state !== state) throw new Error(`${id} is ${String(found?.state)}`);
}

/** What a restart must leave alone, whatever the plant does meanwhile. */
async function withheldAndAcknowledged(): Promise<readonly AlarmMessage[]> {
  const states: readonly string[] = ['shelved', 'out-of-service', 'acknowledged'];
  return (await answered<readonly AlarmMessage[]>('/api/alarms'))
    .filter(({ state }) => states.includes(state))
    .toSorted((a, b) => (a.id < b.id ? -1 : 1));
}

async function done(command: Command): Promise<void> {
  const actor = { id: 'Bo', role: 'maintenance' };
  expect(await sent<CommandResult>('/api/commands', { actor, command })).toEqual({
    done: true,
    recordId: null,
  });
}

async function answered<Body>(address: string): Promise<Body> {
  const answer = await fetch(server.address + address);
  if (!answer.ok) throw new Error(await answer.text());
  return (await answer.json()) as Body;
}

async function sent<Body>(address: string, body: object): Promise<Body> {
  const headers = { 'content-type': 'application/json' };
  const answer = await fetch(server.address + address, {
    method: 'POST',
    headers,
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(await answer.text());
  return (await answer.json()) as Body;
}
