/**
 * What the history costs, beside SQLite rows and DuckDB sorted daily on the same readings, in one run:
 * `npm run bench -- history [--small] [--seed 1]`. Prints a table with the hardware and, as its last line, one JSON
 * object. The full run takes some twenty minutes and 8 GB of disk; `--small` shows in two minutes that all of it works.
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { cpus, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { openDuckdbSorted } from './history/duckdb-sorted.ts';
import { ourDurablePerSecond, rowsDurablePerSecond } from './history/ingest.ts';
import { killed } from './history/kills.ts';
import { loopDelays } from './history/loop-delay.ts';
import { openOurStore } from './history/our-store.ts';
import {
  DAY_MS,
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
import { openSqliteRows } from './history/sqlite-rows.ts';
import type { Subject } from './history/subject.ts';

const { values: options } = parseArgs({
  options: { small: { type: 'boolean', default: false }, seed: { type: 'string', default: '1' } },
});
const isSmall = options.small;
const seed = Number(options.seed);
const END_MS = Date.UTC(2026, 5, 1);
const PLANT_HOURS = isSmall ? 12 : 56;
const LONG_DAYS = isSmall ? 1 : 100;
const YEAR_DAYS = isSmall ? 1 : 365;
const tags = plantTags(seed, TAG_COUNT);

/** From which hour on the tag has readings: ten for long, the first of these for a year. */
function startOf({ index }: PlantTag): number {
  if (index === 0) return END_MS - YEAR_DAYS * DAY_MS;
  return index < LONG_TAG_COUNT ? END_MS - LONG_DAYS * DAY_MS : END_MS - PLANT_HOURS * HOUR_MS;
}

interface Measured extends QuestionTimes {
  readonly bytesPerReading: number;
}

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
  return {
    bytesPerReading: subject.bytes() / readings,
    ...(await questionTimes(subject, { endMs: END_MS, isSmall })),
  };
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
    `${cpus().length} x ${cpu?.model ?? '?'}, ${(totalmem() / 2 ** 30).toFixed(0)} GB, Node ${process.version}, seed ${seed}`,
  );
  const durable = await ourDurablePerSecond(folderFor('ingest'), isSmall ? 5 : 30);
  const rowsDurable = rowsDurablePerSecond(join(folder, 'ingest-rows.sqlite'), isSmall ? 5 : 30);
  const workerMb = workerMegabytes(folderFor('memory'));
  const syncs = syncsPerCommit(folderFor('syncs'));
  const kills = await killed(folderFor('kills'), isSmall ? 6 : 50, seed);
  const simulated = await simulatorBytes(folderFor('simulator'), isSmall ? 10 : 120, 0.01);

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

  const rows = openSqliteRows(join(folder, 'rows.sqlite'));
  const sqlite = await measured('SQLite rows', rows);
  await rows.close();
  rmSync(join(folder, 'rows.sqlite'));
  const sorted = await openDuckdbSorted(join(folder, 'sorted.duckdb'));
  const duckdb = await measured('DuckDB sorted daily', sorted);
  await sorted.close();

  printTable({ history: us, 'SQLite rows': sqlite, 'DuckDB sorted': duckdb });
  say(
    `durable readings/s: ${durable.toFixed(0)} (SQLite rows ${rowsDurable.toFixed(0)}); syncs a commit: ${syncs ?? 'not counted'}`,
  );
  say(
    `event loop stood still at most ${delays.withStoreMs.toFixed(1)} ms (idle loop: ${delays.withoutMs.toFixed(1)} ms); worker ${workerMb.toFixed(0)} MB`,
  );
  say(
    `${kills.count} kills: ${kills.lost} lost, ${kills.torn} torn, ${kills.refused} refused; slowest opening ${kills.slowestOpenMs.toFixed(0)} ms`,
  );
  say(
    `simulated plant: ${simulated.bytesPerReading.toFixed(2)} bytes a reading of ${simulated.readings}, values rounded to 0.01`,
  );
  const nothing = { loopDelayMaxMs: null, workerMb: null, lost: null, torn: null, refused: null };
  const result = {
    ...us,
    durablePerSecond: durable,
    loopDelayMaxMs: delays.withStoreMs,
    workerMb,
    lost: kills.lost,
    torn: kills.torn,
    refused: kills.refused,
    sqliteRows: { ...sqlite, durablePerSecond: rowsDurable, ...nothing },
    duckdbSorted: { ...duckdb, durablePerSecond: null, ...nothing },
  };
  say(JSON.stringify(result));
}

function printTable(columns: Readonly<Record<string, Measured>>): void {
  const keys = ['bytesPerReading', 'tag8hMs', 'tags20x8hMs', 'tag30dMs', 'tag1yMs', 'growth100d'] as const;
  say(['', ...Object.keys(columns)].map((text) => text.padStart(18)).join(''));
  for (const key of keys) {
    const cells = Object.values(columns).map((column) =>
      column[key] === null ? 'not measured' : column[key].toFixed(2),
    );
    say([key, ...cells].map((text) => text.padStart(18)).join(''));
  }
}
