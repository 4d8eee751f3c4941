import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { pino, stdTimeFunctions, type Logger } from 'pino';
import { alarmSetup } from './alarms/alarm-setup.ts';
import { restoredAlarmState } from './alarms/restored-alarm-state.ts';
import { loadConfig } from './config/load-config.ts';
import type { PlantConfig } from './config/plant-config.ts';
import { Fault } from './contract/faults.ts';
import type { FigureDescription } from './contract/figure-message.ts';
import { CONTRACT_VERSION } from './contract/version.ts';
import { opcuaTagSource } from './field/opcua-tag-source.ts';
import { historyExport } from './history/export/history-export.ts';
import { openSampleStore } from './history/open-sample-store.ts';
import { lineSetup, type LineSetup } from './line/line-setup.ts';
import { Pipeline } from './pipeline.ts';
import { CommandQueue } from './pipeline/command-queue.ts';
import { FLOOD_LOOKBACK_MS } from './pipeline/flood-watch.ts';
import { freeBytes } from './pipeline/free-bytes.ts';
import { FigureDesk } from './pipeline/figure-desk.ts';
import { LogFile } from './pipeline/log-file.ts';
import { openMachines } from './pipeline/open-machines.ts';
import { Recorder, WAITING_COUNT_MAX } from './pipeline/recorder.ts';
import { RecordingLog } from './pipeline/recording-log.ts';
import { refuseLostCrops } from './pipeline/refuse-lost-crops.ts';
import { refuseWrongRenames } from './pipeline/refuse-wrong-renames.ts';
import { refuseWrongRetention } from './pipeline/refuse-wrong-retention.ts';
import { refuseWrongRules } from './pipeline/refuse-wrong-rules.ts';
import { registerSeries } from './pipeline/register-series.ts';
import { renameSeries } from './pipeline/rename-series.ts';
import { roomFault } from './pipeline/room-fault.ts';
import { seriesDefinitions } from './pipeline/series-definitions.ts';
import { seriesLookUp } from './pipeline/series-look-up.ts';
import { serverArguments, type ServerArguments } from './pipeline/server-arguments.ts';
import { shiftAt } from './pipeline/shift-at.ts';
import { systemClock } from './pipeline/system-clock.ts';
import { openRecordStore } from './records/open-record-store.ts';
import type { Broadcaster } from './ports/broadcaster.ts';
import type { RecordStore } from './ports/record-store.ts';
import type { SampleStore, SeriesId } from './ports/sample-store.ts';
import type { TagSource } from './ports/tag-source.ts';
import { stretchReports } from './reports/stretch-reports.ts';
import { alarmStudy } from './study/alarm-study.ts';
import { resumedAlarms } from './study/resumed-alarms.ts';
import { startWeb } from './web/start-web.ts';

/** The one writer of this data folder; its sequence goes on over restarts. */
const WRITER = 'server';
const CLIENT_FOLDER = join(import.meta.dirname, '../client/dist');
const NOTE_MS = 1000;
const ALL_TIME = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

/**
 * The composition root: the only place that knows every room. Serving begins before the plant has answered, and
 * stopping keeps what has come in.
 */
async function main(): Promise<void> {
  const options = serverArguments(process.argv.slice(2));
  const config = await loadConfig(options.config);
  const lines = config.lines.map((graph) => lineSetupOf(graph, config));
  const figures = lines.flatMap(({ plans }) => plans.map(({ description }) => description));
  refuseWrongRules(config, figures);
  refuseWrongRetention(config, figures);
  refuseWrongRenames(config, figures);
  const stores = await openStores(options.data, config.retention);
  const running = await stores.records.runningLots();
  const isHere = ({ line }: { line: string }) => config.lines.some(({ id }) => id === line);
  refuseLostCrops(config.crops, running.filter(isHere));
  await renameSeries(stores.samples, config.renamed);
  const definitions = seriesDefinitions(config, figures);
  const seriesOf = await registerSeries(stores.samples, definitions, systemClock.nowMs());
  const house: House = {
    ...{ options, config, ...stores, lines, figures, seriesOf },
    commands: new CommandQueue(),
    figureDesk: new FigureDesk(lines),
  };

  const log = (text: string): void => house.logger.error(text);
  const machines = await openMachines({ ...house, clock: systemClock, log });
  const web = await startWeb({
    host: options.host,
    port: options.port,
    plant: plantDescription(config, figures),
    clientFolder: CLIENT_FOLDER,
    samples: stores.samples,
    exportHistory: (request, signal) => historyExport(stores.samples, request, signal),
    stretches: stretchReports(stores.samples),
    seriesOf: await seriesLookUp(stores.samples, definitions, seriesOf),
    records: stores.records,
    ...machines.forWeb,
    figures: house.figureDesk,
    alarms: alarmStudy({ config, samples: stores.samples, records: stores.records, clock: systemClock }),
    clock: systemClock,
    log: stores.logger.child({}, { level: 'warn' }),
  });
  const plant = await watchPlant(house, web.broadcaster);
  process.stdout.write(`server ready ${web.address}\n`);
  onStop(async () => {
    await plant.stop();
    await web.stop();
    await machines.stop();
    await Promise.all([stores.samples.close(), stores.records.close()]);
    await stores.log.close();
  });
}

interface House extends Stores {
  readonly options: ServerArguments;
  readonly config: PlantConfig;
  readonly lines: readonly LineSetup[];
  readonly figures: readonly FigureDescription[];
  readonly seriesOf: ReadonlyMap<string, SeriesId>;
  readonly commands: CommandQueue;
  readonly figureDesk: FigureDesk;
}

/** Starts the clockwork and listens to the plant; `stop` keeps what has come in. */
async function watchPlant(house: House, broadcaster: Broadcaster): Promise<{ stop(): Promise<void> }> {
  const recorder = new Recorder({
    store: house.samples,
    clock: systemClock,
    writer: WRITER,
    lastSequence: await house.samples.lastSequence(WRITER),
  });
  const pipeline = await pipelineOf(house, recorder, broadcaster);
  const stopTicking = systemClock.every(house.config.tickMs, () => {
    pipeline.tick().catch((error: unknown) => {
      house.logger.error(`FIGURE_FAULT tick: got ${textOf(error)}, expected none; the next tick goes on`);
    });
  });
  const stopNoting = noteRecording(house, recorder);
  await startFirstLots(house);
  const source = await startSource(house, pipeline);
  return {
    async stop() {
      await source.stop();
      stopTicking();
      stopNoting();
      await pipeline.tick();
      await recorder.settled();
    },
  };
}

/** Says in the log, with numbers, when readings are not kept. */
function noteRecording({ options, logger }: House, recorder: Recorder): () => void {
  const log = new RecordingLog({
    log: (text) => {
      logger.error(text);
    },
    freeBytes: () => freeBytes(options.data),
    waitingCountMax: WAITING_COUNT_MAX,
  });
  return systemClock.every(NOTE_MS, () => void log.note(recorder.status, systemClock.nowMs()));
}

async function pipelineOf(house: House, recorder: Recorder, broadcaster: Broadcaster): Promise<Pipeline> {
  const { config, records } = house;
  const alarms = alarmSetup(config.alarms, config.lines);
  const heard = config.tags.filter(({ id }) => alarms.subjects.has(id));
  const staleAfterMs = new Map(heard.map((tag) => [tag.id, tag.staleAfterMs]));
  const setup = { timing: config, lines: house.lines, alarms, staleAfterMs };
  const standing = await records.standingAlarms();
  const bands = new Map(config.settings.flatMap((settings) => Object.entries(settings.bands)));
  const bandOf = (figure: string) => bands.get(figure) ?? null;
  const resuming = { samples: house.samples, records, setup: setup.alarms, tickMs: config.tickMs, bandOf };
  return new Pipeline({
    setup,
    figures: house.figures,
    lines: new Set(config.lines.map(({ id }) => id)),
    crops: new Set(config.crops.map(({ id }) => id)),
    alarms: await resumedAlarms(resuming, restoredAlarmState(setup.alarms, standing), systemClock.nowMs()),
    standing,
    recentJournal: await records.alarmJournal({
      fromMs: systemClock.nowMs() - FLOOD_LOOKBACK_MS,
      toMs: ALL_TIME.toMs,
    }),
    seriesOf: house.seriesOf,
    shiftAt: (nowMs) => shiftAt(config.shifts, config.timeZone, nowMs),
    commands: house.commands,
    figureDesk: house.figureDesk,
    clock: systemClock,
    recorder,
    records,
    broadcaster,
    log: (text) => {
      house.logger.error(text);
    },
  });
}

interface Stores {
  readonly log: LogFile;
  readonly logger: Logger;
  readonly samples: SampleStore;
  readonly records: RecordStore;
}

async function openStores(folder: string, retention: PlantConfig['retention']): Promise<Stores> {
  try {
    await mkdir(folder, { recursive: true });
  } catch (cause) {
    const expected = 'a folder that can be written';
    const remedy = 'name another with --data; server not started';
    throw new Fault('DATA_FOLDER', { subject: folder, got: textOf(cause), expected, remedy }, { cause });
  }
  const timestamp = stdTimeFunctions.isoTime;
  const log = new LogFile({
    file: join(folder, 'server.log'),
    elsewhere: (text) => process.stderr.write(text),
  });
  const logger = pino({ base: null, timestamp }, log);
  const report = (found: object) => {
    logger.warn(found);
  };
  try {
    const records = openRecordStore({ file: join(folder, 'records.sqlite') });
    const samples = await openSampleStore({ folder: join(folder, 'history'), retention, report });
    return { log, logger, samples, records };
  } catch (error) {
    throw await roomFault(folder, error);
  }
}

function lineSetupOf(graph: PlantConfig['lines'][number], config: PlantConfig) {
  const settings = config.settings.find(({ line }) => line === graph.id);
  if (settings === undefined)
    throw new RangeError(`CONFIG_REFERENCE lines.${graph.id}: got no settings, expected some`);
  const endpointOf = new Map(config.addresses.map(({ tag, endpoint }) => [tag, endpoint]));
  return lineSetup({ graph, settings, crops: config.crops, tags: config.tags, endpointOf });
}

function plantDescription(config: PlantConfig, figures: readonly FigureDescription[]) {
  const { name, timeZone, currency, tickMs, crops, lines, tags } = config;
  return {
    contractVersion: CONTRACT_VERSION,
    name,
    timeZone,
    ...(currency === undefined ? {} : { currency }),
    tickMs,
    crops: [...crops],
    lines: [...lines],
    tags: [...tags],
    figures: [...figures],
  };
}

async function startFirstLots({ config, records, commands }: House): Promise<void> {
  if (config.firstLots.length === 0 || (await records.lots(ALL_TIME)).length > 0) return;
  const actor = { id: 'plant configuration', role: 'engineer' } as const;
  for (const lot of config.firstLots) await commands.carryOut({ actor, command: { kind: 'start-lot', lot } });
}

async function startSource(house: House, pipeline: Pipeline): Promise<TagSource> {
  const { config, options, samples, seriesOf, logger } = house;
  const newest = await samples.valuesAt([...seriesOf.values()], systemClock.nowMs());
  const recordedUntil = new Map(newest.map(({ series, timeMs }) => [series, timeMs]));
  const source = opcuaTagSource({
    endpoints: config.endpoints,
    clock: systemClock,
    log: (text) => {
      logger.info(text);
    },
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
        process.stderr.write(`${textOf(error)}\n`);
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', begin);
  process.on('SIGINT', begin);
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
