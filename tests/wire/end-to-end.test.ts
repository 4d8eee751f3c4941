import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CommandResult } from '#server/contract/commands.ts';
import type { ThinnedAnswer } from '#server/contract/history-answer.ts';
import { eventually, eventuallyResolves } from '#tests/support/eventually.ts';
import { watchEverything, type LiveClient } from '#tests/support/live-client.ts';
import { demoSystem, type Started, type System } from '#tests/support/running-system.ts';
import { truthTable } from '#tests/support/truth-table.ts';

const TEN_MINUTES_MS = 600_000;
/** What this and the simulator must agree within, in steady state. */
const AGREEMENT = 0.01;

/** Machines of the demo line and what falls from them, as the simulator's truth names it. */
const REJECTS = [
  ['scalper', 'overs'],
  ['air-screen', 'screenings'],
  ['aspirator', 'liftings'],
  ['sizer', 'offSize'],
  ['destoner', 'stones'],
  ['gravity-table', 'lights'],
] as const;

let system: System;
let server: Started;
let client: LiveClient;
/** A full minute before the watching began: the ten minutes before it come from the plant's own history. */
let pastMs = 0;

beforeAll(async () => {
  system = await demoSystem();
  await system.startSimulator(['--seed', '7']);
  server = await system.startServer();
  client = await watchEverything(server.address);
  await eventually('ten minutes are known', () => isKnown('a.line.closure-ten-minutes'), 40_000);
  await pastIsWorkedOut();
});

afterAll(async () => {
  client.close();
  await system.dispose();
});

describe('from the machine to the browser, over OPC UA, HTTP and the socket', () => {
  it('shows a yield that agrees with what really flowed within 1 %', () => {
    const figure = client.figures.get('a.line.yield-ten-minutes');
    const span = spanBefore(figure?.timeMs ?? 0);
    const truth = truthTable(system.truth);
    const entered = truth.mean('feedKgPerH', span.fromMs - wayMs('clean'), span.toMs - wayMs('clean'));
    const really = truth.mean('cleanKgPerH', span.fromMs, span.toMs) / entered;
    expect(relative(figure?.value, really)).toBeLessThan(AGREEMENT);
  });

  it.each(REJECTS)(
    'keeps a reject share of the %s that agrees with the true %s within 1 percent',
    async (machine, stream) => {
      const kept = await tenMinutes(`a.${machine}.reject-share`);
      const truth = truthTable(system.truth);
      const way = wayMs(mainFrom(machine));
      const entered = truth.mean('feedKgPerH', kept.fromMs - way, kept.toMs - way);
      const really = truth.mean(`${stream}KgPerH`, kept.fromMs, kept.toMs) / entered;
      expect(relative(kept.mean, really)).toBeLessThan(AGREEMENT);
    },
  );

  it.each([
    ['a.treater.dose', ['pumpAMlPerMin', 'pumpBMlPerMin', 'pumpCMlPerMin']],
    ['a.treater.product-dose-1', ['pumpAMlPerMin']],
    ['a.treater.product-dose-2', ['pumpBMlPerMin']],
    ['a.treater.product-dose-3', ['pumpCMlPerMin']],
  ])('keeps a %s that agrees with what really left the pumps within 1 percent', async (figure, pumps) => {
    const kept = await tenMinutes(figure);
    const truth = truthTable(system.truth);
    const liquid = pumps.reduce((sum, pump) => sum + truth.mean(pump, kept.fromMs, kept.toMs), 0);
    const bushels = truth.mean('seedWheelKgPerH', kept.fromMs, kept.toMs) / 27.2155422;
    expect(relative(kept.mean, (liquid * 60) / bushels)).toBeLessThan(AGREEMENT);
  });

  it('names the destoner within 2 s of its stop, and shows in one browser what another acknowledged', async () => {
    const other = await watchEverything(server.address);
    const id = 'a.destoner.stopped';
    await system.upset('destoner-stop');
    await eventually(
      'the destoner is named',
      () => client.alarms.get(id)?.state === 'unacknowledged',
      10_000,
    );
    expect(Date.now() - (client.alarms.get(id)?.raisedMs ?? 0)).toBeLessThan(2000);

    await eventually(
      'it is said to be the first',
      () => client.alarms.get(id)?.code === 'stopped-first',
      10_000,
    );
    const standing = [...client.alarms.values()].filter(({ state }) => state === 'unacknowledged');
    expect(standing.map((alarm) => alarm.id)).toEqual([id]);

    expect(await acknowledge(id)).toEqual({ done: true, recordId: null });
    await eventually(
      'the other browser sees it',
      () => other.alarms.get(id)?.acknowledged?.by === 'Operator 3',
      5000,
    );
    expect(await acknowledge(id)).toMatchObject({ done: false });
    other.close();
  });
});

function isKnown(figure: string): boolean {
  return typeof client.figures.get(figure)?.value === 'number';
}

function spanBefore(toMs: number) {
  return { fromMs: toMs - TEN_MINUTES_MS, toMs };
}

function relative(value: number | null | undefined, really: number): number {
  if (typeof value !== 'number') throw new Error('there is no value to compare');
  return Math.abs(value - really) / really;
}

/** How long seed takes from the feed to the end of a main stream, by the configuration; bypassed machines take none. */
function wayMs(stream: string): number {
  const graph = client.plant.lines[0];
  const main = graph?.streams.filter(({ role }) => role === 'main') ?? [];
  const bypassed = new Set(['length-grader']);
  const end = main.findIndex(({ id }) => id === stream);
  return main
    .slice(0, end + 1)
    .reduce((sum, { from, transportMs }) => sum + (bypassed.has(from ?? '') ? 0 : transportMs), 0);
}

function mainFrom(machine: string): string {
  const stream = client.plant.lines[0]?.streams.find(({ role, from }) => role === 'main' && from === machine);
  if (stream === undefined) throw new Error(`no main stream leaves the ${machine}`);
  return stream.id;
}

/** A figure's time-weighted mean over about ten minutes of history, with the edges that the answer gives. */
async function tenMinutes(series: string): Promise<{ mean: number; fromMs: number; toMs: number }> {
  const { fromMs, toMs } = spanBefore(pastMs);
  const query = new URLSearchParams({ series, fromMs: String(fromMs), toMs: String(toMs), buckets: '1' });
  const answer = (await (
    await fetch(`${server.address}/api/history/thinned?${query.toString()}`)
  ).json()) as ThinnedAnswer;
  const [only] = answer.series;
  if (only?.mean.length !== 1)
    throw new Error(`${series}: got ${only?.mean.length ?? 0} buckets, expected one`);
  const mean = only.mean[0];
  if (typeof mean !== 'number' || (only.coveredRatio[0] ?? 0) < 0.99) {
    throw new Error(`${series} is not covered from ${fromMs} to ${toMs}`);
  }
  return { mean, fromMs: only.timeMs[0] ?? 0, toMs: answer.toMs };
}

async function pastIsWorkedOut(): Promise<void> {
  pastMs = Math.floor(Date.now() / 60_000) * 60_000 - 60_000;
  await eventuallyResolves('the figures of before the watch are kept', async () => {
    await tenMinutes('a.line.yield');
    await tenMinutes('a.treater.product-dose-3');
  });
}

async function acknowledge(alarm: string): Promise<CommandResult> {
  const answer = await fetch(`${server.address}/api/commands`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      actor: { id: 'Operator 3', role: 'operator' },
      command: { kind: 'acknowledge-alarm', alarm },
    }),
  });
  return (await answer.json()) as CommandResult;
}
