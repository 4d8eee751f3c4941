import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { alarmSetup } from './alarms/alarm-setup.ts';
import { restoredAlarmState } from './alarms/restored-alarm-state.ts';
import { loadConfig } from './config/load-config.ts';
import type { PlantConfig } from './config/plant-config.ts';
import { Fault } from './contract/faults.ts';
import type { FigureDescription } from './contract/figure-message.ts';
import { CONTRACT_VERSION } from './contract/version.ts';
import { opcuaTagSource } from './field/opcua-tag-source.ts';
import { openSampleStore } from './history/open-sample-store.ts';
import { lineSetup } from './line/line-setup.ts';
import { Pipeline } from './pipeline.ts';
import { CommandQueue } from './pipeline/command-queue.ts';
import { Recorder } from './pipeline/recorder.ts';
import { serverArguments, type ServerArguments } from './pipeline/server-arguments.ts';
import { shiftAt } from './pipeline/shift-at.ts';
import { systemClock } from './pipeline/system-clock.ts';
import { openRecordStore } from './records/open-record-store.ts';
import type { RecordStore } from './ports/record-store.ts';
import type { SampleStore, SeriesDefinition, SeriesId } from './ports/sample-store.ts';
import { startWeb } from './web/start-web.ts';

/** The one writer of this data folder; its sequence goes on over restarts. */
const WRITER = 'server';
const CLIENT_FOLDER = join(import.meta.dirname, '../client/dist');
const ALL_TIME = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

/**
 * The composition root: the only place that knows every room. Serving begins before the plant has answered, and
 * stopping keeps what has come in.
 */
async function main(): Promise<void> {
  const options = serverArguments(process.argv.slice(2));
  const config = await loadConfig(options.config);
  const stores = await openStores(options.data);
  const lines = config.lines.map((graph) => lineSetupOf(graph, config));
  const figures = lines.flatMap(({ plans }) => plans.map(({ description }) => description));
  const seriesOf = await stores.samples.register(seriesDefinitions(config, figures), systemClock.nowMs());

  const commands = new CommandQueue();
  const web = await startWeb({
    host: options.host,
    port: options.port,
    plant: plantDescription(config, figures),
    clientFolder: CLIENT_FOLDER,
    samples: stores.samples,
    seriesOf: seriesLookUp(config, figures, seriesOf),
    records: stores.records,
    desk: commands,
    clock: systemClock,
    log,
  });

  const setup = { timing: config, lines, alarms: alarmSetup(config.alarms, config.lines) };
  const standing = await stores.records.standingAlarms();
  const lastSequence = await stores.samples.lastSequence(WRITER);
  const recorder = new Recorder({ store: stores.samples, clock: systemClock, writer: WRITER, lastSequence });
  const pipeline = new Pipeline({
    setup,
    figures,
    lines: new Set(config.lines.map(({ id }) => id)),
    crops: new Set(config.crops.map(({ id }) => id)),
    alarms: restoredAlarmState(setup.alarms, standing),
    standing,
    seriesOf,
    shiftAt: (nowMs) => shiftAt(config.shifts, config.timeZone, nowMs),
    commands,
    clock: systemClock,
    recorder,
    records: stores.records,
    broadcaster: web.broadcaster,
    log,
  });
  const stopTicking = systemClock.every(config.tickMs, () => {
    pipeline.tick().catch((error: unknown) => {
      log(`FIGURE_FAULT tick: got ${textOf(error)}, expected none; the next tick goes on`);
    });
  });
  await startFirstLots(config, stores.records, commands);
  const source = await startSource({ config, options, samples: stores.samples, seriesOf, pipeline });
  process.stdout.write(`server ready ${web.address}\n`);

  onStop(async () => {
    await source.stop();
    stopTicking();
    await pipeline.tick();
    await recorder.settled();
    await web.stop();
    await Promise.all([stores.samples.close(), stores.records.close()]);
  });
}

async function openStores(folder: string): Promise<{ samples: SampleStore; records: RecordStore }> {
  try {
    await mkdir(folder, { recursive: true });
  } catch (cause) {
    const expected = 'a folder that can be written';
    const remedy = 'name another with --data; server not started';
    throw new Fault('DATA_FOLDER', { subject: folder, got: textOf(cause), expected, remedy }, { cause });
  }
  const records = openRecordStore({ file: join(folder, 'records.sqlite') });
  const samples = await openSampleStore({
    folder: join(folder, 'history'),
    report: (report) => {
      log(JSON.stringify(report));
    },
  });
  return { samples, records };
}

function lineSetupOf(graph: PlantConfig['lines'][number], config: PlantConfig) {
  const settings = config.settings.find(({ line }) => line === graph.id);
  if (settings === undefined)
    throw new RangeError(`CONFIG_REFERENCE lines.${graph.id}: got no settings, expected some`);
  const endpointOf = new Map(config.addresses.map(({ tag, endpoint }) => [tag, endpoint]));
  return lineSetup({ graph, settings, crops: config.crops, tags: config.tags, endpointOf });
}

function seriesDefinitions(
  config: PlantConfig,
  figures: readonly FigureDescription[],
): readonly SeriesDefinition[] {
  const tags = config.tags.map(({ id, unit, interpolation, resolution, staleAfterMs }) => ({
    name: id,
    kind: 'tag' as const,
    unit,
    interpolation,
    resolution,
    heldMs: staleAfterMs,
  }));
  return [...tags, ...figures.map(figureSeries)];
}

function figureSeries({ id, unit, resolution }: FigureDescription): SeriesDefinition {
  return { name: id, kind: 'figure', unit, interpolation: 'linear', resolution, heldMs: null };
}

function seriesLookUp(
  config: PlantConfig,
  figures: readonly FigureDescription[],
  seriesOf: ReadonlyMap<string, SeriesId>,
) {
  const known = new Map(
    seriesDefinitions(config, figures).flatMap(({ name, unit, interpolation }) => {
      const series = seriesOf.get(name);
      return series === undefined ? [] : [[name, { series, unit, interpolation }] as const];
    }),
  );
  return (name: string) => known.get(name);
}

function plantDescription(config: PlantConfig, figures: readonly FigureDescription[]) {
  const { name, timeZone, tickMs, crops, lines, tags } = config;
  return {
    contractVersion: CONTRACT_VERSION,
    name,
    timeZone,
    tickMs,
    crops: [...crops],
    lines: [...lines],
    tags: [...tags],
    figures: [...figures],
  };
}

async function startFirstLots(
  config: PlantConfig,
  records: RecordStore,
  commands: CommandQueue,
): Promise<void> {
  if (config.firstLots.length === 0 || (await records.lots(ALL_TIME)).length > 0) return;
  for (const lot of config.firstLots) {
    await commands.carryOut({
      actor: { id: 'plant configuration', role: 'engineer' },
      command: { kind: 'start-lot', lot },
    });
  }
}

interface SourceParts {
  readonly config: PlantConfig;
  readonly options: ServerArguments;
  readonly samples: SampleStore;
  readonly seriesOf: ReadonlyMap<string, SeriesId>;
  readonly pipeline: Pipeline;
}

async function startSource({ config, options, samples, seriesOf, pipeline }: SourceParts) {
  const newest = await samples.valuesAt([...seriesOf.values()], systemClock.nowMs());
  const recordedUntil = new Map(newest.map(({ series, timeMs }) => [series, timeMs]));
  const source = opcuaTagSource({
    endpoints: config.endpoints,
    clock: systemClock,
    log,
    pkiFolder: join(options.data, '.pki'),
    recordedUntilMs: (tag) => recordedUntil.get(seriesOf.get(tag) ?? -1) ?? null,
  });
  source.start(config.addresses, pipeline.sink);
  return source;
}

function onStop(stop: () => Promise<void>): void {
  let isStopping = false;
  const begin = () => {
    if (isStopping) return;
    isStopping = true;
    stop().then(
      () => process.exit(0),
      (error: unknown) => {
        log(textOf(error));
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', begin);
  process.on('SIGINT', begin);
}

function log(text: string): void {
  process.stderr.write(`${new Date().toISOString()} ${text}\n`);
}

function textOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

main().catch((error: unknown) => {
  process.stderr.write(
    `${error instanceof Fault ? error.message : error instanceof Error ? error.stack : String(error)}\n`,
  );
  process.exit(1);
});
