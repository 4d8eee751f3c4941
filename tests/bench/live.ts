/**
 * One reading's way, under load: 3,000 tags at 10 Hz from a simulator process through the whole server to a browser's
 * socket, and the same items to a bare node-opcua subscription. The two are measured in turn, several rounds in one run,
 * against the same simulator: side by side they would share two cores with it and measure each other.
 */
import { fork, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { cpus, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { PLANT_NAMESPACE_URI } from '#simulator/catalogue.ts';
import { freePorts, startedProcess, type Started } from '#tests/support/running-system.ts';
import { figuresCostUs } from './live/figures-cost.ts';
import { cpuUsPerChange, together, type Measured } from './live/measured.ts';
import { pause, watchServer } from './live/server-side.ts';
import { syntheticConfig } from './live/synthetic-config.ts';

const TAGS = 3000;
const HZ = 10;
const ROUNDS = 3;
const ROUND_MS = 15_000;
/** Both are compiled and have found their heap's size by then: what a change costs is asked, not what a start costs. */
const WARM_UP_MS = 20_000;
const PUBLISHING_MS = 100;
const SAMPLING_MS = 50;
const TICK_MS = 250;
/** What the whole server may add to the bare client's 99th percentile, beside one tick. */
const ADDED_MS = 100;

const folder = mkdtempSync(join(tmpdir(), 'sievewright-live-'));
const running: Started[] = [];
try {
  await measure();
} finally {
  await Promise.all(running.map((each) => each.end('SIGTERM')));
  rmSync(folder, { recursive: true, force: true });
}

async function measure(): Promise<void> {
  const [plantPort = 0, webPort = 0] = await freePorts(2);
  const simulator = await start('simulator/main.ts', [
    ...['--synthetic', String(TAGS), '--hz', String(HZ)],
    ...['--port', String(plantPort), '--control-port', '0'],
  ]);
  const plan = { tags: TAGS, url: simulator.address, namespace: PLANT_NAMESPACE_URI, tickMs: TICK_MS };
  const config = syntheticConfig(folder, { ...plan, publishingMs: PUBLISHING_MS, samplingMs: SAMPLING_MS });
  const bare: Measured[] = [];
  const whole: Measured[] = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    bare.push(await bareRound(simulator.address));
    whole.push(await wholeRound({ config, webPort, data: join(folder, `data-${round}`) }));
  }
  const figuresUs = await figuresCostUs(config, HZ);
  report({ bare: together(bare), whole: together(whole), figuresUs });
}

async function start(file: string, args: readonly string[]): Promise<Started> {
  const started = await startedProcess(file, args);
  running.push(started);
  return started;
}

async function bareRound(url: string): Promise<Measured> {
  const args = [url, PLANT_NAMESPACE_URI, String(TAGS), String(PUBLISHING_MS), String(SAMPLING_MS)];
  const child = fork(join(import.meta.dirname, 'live/bare-client.ts'), args, {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  await answerOf(child);
  await pause(WARM_UP_MS);
  child.send('open');
  await pause(ROUND_MS);
  child.send('end');
  return (await answerOf(child)) as Measured;
}

async function answerOf(child: ChildProcess): Promise<unknown> {
  const [answer] = (await Promise.race([
    once(child, 'message'),
    once(child, 'exit').then(([code]) => {
      throw new Error(`the bare client ended with ${String(code)}`);
    }),
  ])) as [unknown];
  return answer;
}

/** In a folder of its own: a server that finds an earlier round's readings first puts those in order. */
async function wholeRound(at: { config: string; webPort: number; data: string }): Promise<Measured> {
  const server = await start('server/main.ts', [
    ...['--config', at.config, '--port', String(at.webPort), '--data', at.data],
  ]);
  const tags = Array.from({ length: TAGS }, (_, index) => `m.all.value-${index + 1}`);
  const watched = await watchServer(server.address, server.pid, tags);
  await pause(WARM_UP_MS);
  const measured = await watched.round(ROUND_MS);
  watched.close();
  await server.end('SIGTERM');
  return measured;
}

function report({ bare, whole, figuresUs }: { bare: Measured; whole: Measured; figuresUs: number }): void {
  const [bareUs, wholeUs] = [cpuUsPerChange(bare), cpuUsPerChange(whole)];
  const ratio = bareUs === null || wholeUs === null ? null : (wholeUs - figuresUs) / bareUs;
  sayConditions();
  console.table({
    'bare subscription': row(bare, bareUs),
    'whole server': row(whole, wholeUs),
  });
  sayGoals({ bare, whole, figuresUs, ratio });
  console.log(
    JSON.stringify({
      offeredPerSecond: TAGS * HZ,
      deliveredRatio: rounded(whole.deliveredRatio, 5),
      cpuPerChangeRatio: rounded(ratio, 3),
      p50Ms: whole.p50Ms,
      p99Ms: whole.p99Ms,
      bareP50Ms: bare.p50Ms,
      bareP99Ms: bare.p99Ms,
      tickMs: TICK_MS,
      bareDeliveredRatio: rounded(bare.deliveredRatio, 5),
      cpuUsPerChange: rounded(wholeUs, 3),
      bareCpuUsPerChange: rounded(bareUs, 3),
      figuresCpuUsPerChange: rounded(figuresUs, 3),
    }),
  );
}

function sayConditions(): void {
  const processor = cpus()[0]?.model ?? 'unknown processor';
  const memoryGib = Math.round(totalmem() / 2 ** 30);
  console.log(`${processor}, ${cpus().length} cores, ${memoryGib} GiB, Node ${process.version}`);
  console.log(`${TAGS} tags at ${HZ} Hz, ${ROUNDS} rounds of ${ROUND_MS / 1000} s each, in turn`);
  console.log('the browser is a socket in Node; the server also keeps every reading on disk');
}

function sayGoals(said: { bare: Measured; whole: Measured; figuresUs: number; ratio: number | null }): void {
  const { bare, whole, figuresUs, ratio } = said;
  const allowed = bare.p99Ms === null ? null : bare.p99Ms + TICK_MS + ADDED_MS;
  console.log(`figures and alarms by themselves: ${figuresUs.toFixed(2)} us of CPU a change`);
  console.log(
    `whole server less figures, over bare: ${ratio?.toFixed(2) ?? 'not measured'} (goal: at most 2)`,
  );
  console.log(`p99 to the browser: ${whole.p99Ms ?? 'not measured'} ms (goal: at most ${allowed ?? '?'} ms)`);
}

function row(measured: Measured, us: number | null) {
  return {
    'delivered of offered': rounded(measured.deliveredRatio, 5),
    'CPU us a change': rounded(us, 2) ?? 'not measured',
    'p50 ms': measured.p50Ms,
    'p99 ms': measured.p99Ms,
  };
}

function rounded(value: number | null, digits: number): number | null {
  return value === null ? null : Number(value.toFixed(digits));
}
