/**
 * What the history costs, beside SQLite rows and DuckDB sorted daily on the same readings, in one run:
 * `npm run bench -- history [--small] [--no-peers] [--seed 1]`. Prints a table with the hardware and, as its last line, one JSON
 * object. The full run takes some ten minutes and 8 GB of disk; `--small` shows in about a minute that all of it works.
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { cpus, loadavg, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { openDuckdbSorted } from './history/duckdb-sorted.ts';
import { ourDurablePerSecond, rowsDurablePerSecond } from './history/ingest.ts';
import { killed } from './history/kills.ts';
import { loopDelays } from './history/loop-delay.ts';
import { openOurStore } from './history/our-store.ts';
import {
  DAY_MS,
  GROWTH_TAGS,
  HOUR_MS,
  hourOf,
  LONG_TAG_COUNT,
  plantTags,
  TAG_COUNT,
  type PlantTag,
} from './history/plant-data.ts';
import { syncsPerCommit, workerMegabytes } from './history/processes.ts';
import { questionTimes, type QuestionTimes } from './history/question-times.ts';
import { simulatorBytes } from './history/simulator-bytes.ts';
import { measuredSlices } from './history/slices.ts';
import { openSqliteRows } from './history/sqlite-rows.ts';
import type { Subject } from './history/subject.ts';

const { values: options } = parseArgs({
  allowNegative: true,
  options: {
    small: { type: 'boolean', default: false },
    peers: { type: 'boolean', default: true },
    seed: { type: 'string', default: '1' },
  },
});
const isSmall = options.small;
const seed = Number(options.seed);
const END_MS = Date.UTC(2026, 5, 1);
/** Eleven hours are what the questions about eight of them look back at. */
const PLANT_HOURS = isSmall ? 12 : 48;
const LONG_DAYS = isSmall ? 0.5 : 100;
const YEAR_DAYS = isSmall ? 0.5 : 365;
const tags = plantTags(seed, TAG_COUNT);

/** From which hour on the tag has readings. */
function startOf({ index }: PlantTag): number {
  if (index === 0) return END_MS - YEAR_DAYS * DAY_MS;
  if (index < LONG_TAG_COUNT) return END_MS - LONG_DAYS * DAY_MS;
  if (!isSmall && index === GROWTH_TAGS.days10) return END_MS - 10 * DAY_MS;
  if (!isSmall && index === GROWTH_TAGS.days1) return END_MS - DAY_MS;
  return END_MS - PLANT_HOURS * HOUR_MS;
}

interface Measured extends QuestionTimes {
  readonly bytesPerReading: number | null;
}

const NOTHING: Measured = {
  bytesPerReading: null,
  tag8hMs: null,
  tags20x8hMs: null,
  tag30dMs: null,
  tag1yMs: null,
  fastest: { tag8hMs: null, tags20x8hMs: null, tag30dMs: null, tag1yMs: null },
  growth10d: null,
  growth100d: null,
};

/** Loads everything, a day of the long tags or an hour of the plant at a time. */
async function loaded(subject: Subject): Promise<number> {
  let readings = 0;
  for (let hourMs = END_MS - YEAR_DAYS * DAY_MS; hourMs < END_MS; hourMs += HOUR_MS) {
    const blocks = tags.filter((tag) => startOf(tag) <= hourMs).map((tag) => hourOf(seed, tag, hourMs));
    readings += blocks.reduce((sum, block) => sum + block.timeMs.length, 0);
    await subject.load(blocks);
  }
  await subject.finishLoading();
  return readings;
}

async function measured(name: string, subject: Subject): Promise<Measured> {
  const startMs = performance.now();
  const readings = await loaded(subject);
  const seconds = (performance.now() - startMs) / 1000;
  say(`${name}: ${(readings / 1e6).toFixed(1)} M readings loaded in ${seconds.toFixed(0)} s`);
  const bytesPerReading = subject.bytes() / readings;
  const found = { bytesPerReading, ...(await questionTimes(subject, { endMs: END_MS, isSmall })) };
  say(`${name}: ${JSON.stringify(found)}`);
  return found;
}

function say(text: string): void {
  process.stdout.write(`${text}\n`);
}

function folderFor(name: string): string {
  const path = join(folder, name);
  mkdirSync(path, { recursive: true });
  return path;
}

const folder = mkdtempSync(join(tmpdir(), 'sievewright-bench-'));
try {
  await run();
} finally {
  rmSync(folder, { recursive: true });
}

async function run(): Promise<void> {
  const [cpu] = cpus();
  say(
    `${cpus().length} x ${cpu?.model ?? '?'}, ${(totalmem() / 2 ** 30).toFixed(0)} GB, Node ${process.version}, seed ${seed}, load ${loadText()}`,
  );
  const apart = await measuredApart();
  const { us, delays } = await measuredOurs();

  const { sqlite, duckdb } = options.peers ? await measuredPeers() : { sqlite: NOTHING, duckdb: NOTHING };

  printTable({ history: us, 'SQLite rows': sqlite, 'DuckDB sorted': duckdb });
  sayRest(apart, delays);
  const { kills, slices } = apart;
  const nothing = { loopDelayMaxMs: null, workerMb: null, lost: null, torn: null, refused: null };
  const result = {
    ...us,
    durablePerSecond: apart.durable,
    loopDelayMaxMs: delays.withStoreMs,
    workerMb: apart.workerMb,
    lost: kills.lost,
    torn: kills.torn,
    refused: kills.refused,
    sliceMaxMs: slices.sliceMaxMs,
    sliceCpuMaxMs: slices.sliceCpuMaxMs,
    syncMaxMs: slices.syncMaxMs,
    syncsPerCommit: apart.syncs,
    slowestOpenMs: kills.slowestOpenMs,
    simulatorBytesPerReading: apart.simulated.bytesPerReading,
    sqliteRows: { ...sqlite, durablePerSecond: apart.rowsDurable, ...nothing },
    duckdbSorted: { ...duckdb, durablePerSecond: null, ...nothing },
  };
  say(`load at the end ${loadText()}`);
  say(JSON.stringify(result));
}

async function measuredPeers(): Promise<{ readonly sqlite: Measured; readonly duckdb: Measured }> {
  const rows = openSqliteRows(join(folder, 'rows.sqlite'));
  const sqlite = await measured('SQLite rows', rows);
  await rows.close();
  rmSync(join(folder, 'rows.sqlite'));
  const sorted = await openDuckdbSorted(join(folder, 'sorted.duckdb'));
  const duckdb = await measured('DuckDB sorted daily', sorted);
  await sorted.close();
  return { sqlite, duckdb };
}

/** How busy the machine was with other things: the milliseconds mean little on a busy one. */
function loadText(): string {
  return loadavg()
    .map((load) => load.toFixed(1))
    .join(' ');
}

/** What does not need the large history. */
async function measuredApart() {
  const durable = await timed('durable', () => ourDurablePerSecond(folderFor('ingest'), isSmall ? 5 : 30));
  const rowsDurable = rowsDurablePerSecond(join(folder, 'ingest-rows.sqlite'), isSmall ? 3 : 15);
  const slices = await timed('slices', () => measuredSlices(folderFor('slices'), isSmall ? 52 : 100));
  const workerMb = await timed('memory', () => workerMegabytes(folderFor('memory')));
  const syncs = await timed('syncs', () => syncsPerCommit(folderFor('syncs')));
  const kills = await timed('kills', () => killed(folderFor('kills'), isSmall ? 6 : 50, seed));
  const simulated = await timed('simulated plant', () =>
    simulatorBytes(folderFor('simulator'), isSmall ? 10 : 120, 0.01),
  );
  return { durable, rowsDurable, slices, workerMb, syncs, kills, simulated };
}

async function measuredOurs() {
  const ours = await openOurStore(folderFor('ours'), tags);
  const us = await measured('history', ours);
  const question = {
    tags: tags.slice(20, 40).map(({ index }) => index),
    fromMs: END_MS - 9 * HOUR_MS,
    toMs: END_MS - HOUR_MS,
    buckets: 2000,
  };
  const delays = await loopDelays(ours, question, isSmall ? 6 : 30);
  await ours.close();
  rmSync(join(folder, 'ours'), { recursive: true });
  return { us, delays };
}

async function timed<T>(what: string, work: () => T | Promise<T>): Promise<T> {
  const startMs = performance.now();
  const found = await work();
  say(`${what}: measured in ${((performance.now() - startMs) / 1000).toFixed(0)} s`);
  return found;
}

type Apart = Awaited<ReturnType<typeof measuredApart>>;

function sayRest(apart: Apart, delays: Awaited<ReturnType<typeof loopDelays>>): void {
  const { kills, simulated, slices } = apart;
  say(
    `durable readings/s: ${apart.durable.toFixed(0)} (SQLite rows ${apart.rowsDurable.toFixed(0)}); synchronous is FULL, syncs a commit: ${apart.syncs ?? 'not counted'}`,
  );
  say(
    `event loop stood still at most ${delays.withStoreMs.toFixed(1)} ms (idle loop: ${delays.withoutMs.toFixed(1)} ms); worker ${apart.workerMb.toFixed(0)} MB`,
  );
  say(
    `a commit waits at most ${slices.sliceMaxMs.toFixed(0)} ms for one of ${slices.slices} slices of upkeep (${slices.sliceCpuMaxMs.toFixed(0)} ms of processor time), beside the disk: ${slices.syncMaxMs.toFixed(0)} ms for a sync, ${slices.checkpointMaxMs.toFixed(0)} ms for a checkpoint`,
  );
  say(
    `${kills.count} kills: ${kills.lost} lost, ${kills.torn} torn, ${kills.refused} refused; slowest opening ${kills.slowestOpenMs.toFixed(0)} ms`,
  );
  say(
    `simulated plant: ${simulated.bytesPerReading.toFixed(2)} bytes a reading of ${simulated.readings}, values rounded to 0.01`,
  );
}

function printTable(columns: Readonly<Record<string, Measured>>): void {
  const keys = [
    'bytesPerReading',
    'tag8hMs',
    'tags20x8hMs',
    'tag30dMs',
    'tag1yMs',
    'growth10d',
    'growth100d',
  ] as const;
  say(['', ...Object.keys(columns)].map((text) => text.padStart(18)).join(''));
  for (const key of keys) {
    const cells = Object.values(columns).map((column) =>
      column[key] === null ? 'not measured' : column[key].toFixed(2),
    );
    say([key, ...cells].map((text) => text.padStart(18)).join(''));
  }
}
