import type { Liquid, LineGraph, Machine, Stream } from '../contract/line-graph.ts';
import type { LineSettings } from '../contract/line-settings.ts';
import type { TagDescription } from '../contract/tag-description.ts';
import type { ConfiguredAddress } from './plant-config.ts';
import type { LineEntry, MachineEntry, PlantFile, StreamEntry, TagEntry } from './plant-file.ts';

/** Long enough for a plant that polls its scales once a second or two, short enough to miss one soon. */
const STALE_AFTER_MS = 10_000;
const MS_PER_S = 1000;
const MS_PER_H = 3_600_000;
/** A pump drifts with its tube and its product; a catch test a day is common practice, no source. */
const CALIBRATION_H_MAX = 24;

interface ExpandedLine {
  readonly graph: LineGraph;
  readonly settings: LineSettings;
  readonly tags: readonly TagDescription[];
  readonly addresses: readonly ConfiguredAddress[];
}

/** One line with every short form of the file written out: groups, ids in full, defaults. */
export function expandedLine(line: LineEntry, plant: PlantFile): ExpandedLine {
  const machines = line.machines.map((machine) => ({ machine, entries: tagEntries(machine, plant.groups) }));
  return {
    graph: {
      id: line.id,
      name: line.name,
      machines: machines.map(({ machine, entries }) => graphMachine(line.id, machine, entries)),
      streams: line.streams.map((stream) => graphStream(line.id, stream)),
    },
    settings: lineSettings(line),
    tags: machines.flatMap(({ machine, entries }) =>
      entries.map((entry) => tagDescription(line.id, machine, entry)),
    ),
    addresses: machines.flatMap(({ machine, entries }) =>
      entries.map((entry) => tagAddress(line, { machine, entry, plant })),
    ),
  };
}

function tagEntries(machine: MachineEntry, groups: PlantFile['groups']): readonly TagEntry[] {
  const fromGroups = (machine.groups ?? []).flatMap((group) =>
    (groups[group] ?? []).map((entry) => ({
      ...entry,
      node: `${machine.nodes ?? machine.id}.${entry.node}`,
    })),
  );
  return [...fromGroups, ...(machine.tags ?? [])];
}

function graphMachine(line: string, machine: MachineEntry, entries: readonly TagEntry[]): Machine {
  const has = (signal: string) => entries.some((entry) => entry.signal === signal);
  const own = (signal: string) => (has(signal) ? `${line}.${machine.id}.${signal}` : null);
  const named = (signal: string | undefined, usual: string) =>
    signal === undefined ? own(usual) : `${line}.${signal}`;
  return {
    id: machine.id,
    name: machine.name,
    kind: machine.kind,
    runningTag: named(machine.running, 'running'),
    bypassedTag: named(machine.bypassed, 'bypassed'),
    motorCurrentTag: named(machine.motorCurrent, 'motor-current'),
    ...(machine.contents === undefined ? {} : { contentsTag: `${line}.${machine.contents}` }),
    tags: entries.map((entry) => `${line}.${machine.id}.${entry.signal}`),
  };
}

function graphStream(line: string, stream: StreamEntry): Stream {
  const tag = (signal: string | undefined) => (signal === undefined ? null : `${line}.${signal}`);
  return {
    id: stream.id,
    name: stream.name,
    role: stream.role,
    from: stream.from ?? null,
    to: stream.to ?? null,
    massFlowTag: tag(stream.massFlow),
    massTotalTag: tag(stream.massTotal),
    volumeFlowTag: tag(stream.volumeFlow),
    transportMs: stream.transportS * MS_PER_S,
    ...(stream.transportErrorS === undefined ? {} : { transportErrorMs: stream.transportErrorS * MS_PER_S }),
    ...(stream.mixingS === undefined ? {} : { mixingMs: stream.mixingS * MS_PER_S }),
    ...(stream.moisture === undefined ? {} : { moistureTag: tag(stream.moisture) }),
    ...(stream.liquid === undefined ? {} : { liquid: liquidOf(line, stream.liquid) }),
  };
}

function liquidOf(line: string, liquid: NonNullable<StreamEntry['liquid']>): Liquid {
  return {
    products: liquid.products,
    tankMassTag: liquid.tankMass === undefined ? null : `${line}.${liquid.tankMass}`,
    unusableKg: liquid.unusableKg ?? 0,
    calibrationMsMax: (liquid.calibrationHMax ?? CALIBRATION_H_MAX) * MS_PER_H,
  };
}

function lineSettings(line: LineEntry): LineSettings {
  return {
    line: line.id,
    defaultCrop: line.defaultCrop,
    feedKgPerHFloor: line.feedKgPerHFloor,
    nowWindowMs: line.nowWindowMs,
    bridgedGapMsMax: line.bridgedGapMsMax,
    coveredRatioMin: line.coveredRatioMin,
    bands: Object.fromEntries(
      Object.entries(line.bands).map(([figure, band]) => [`${line.id}.${figure}`, band]),
    ),
    ...(line.losses === undefined ? {} : { losses: line.losses }),
    ...(line.routes === undefined ? {} : { routes: line.routes }),
  };
}

function tagDescription(line: string, machine: MachineEntry, entry: TagEntry): TagDescription {
  const isState = entry.unit === 'state';
  const [rangeLow, rangeHigh] = entry.range ?? [null, null];
  return {
    id: `${line}.${machine.id}.${entry.signal}`,
    line,
    machine: machine.id,
    name: entry.name ?? entry.signal.replaceAll('-', ' '),
    unit: entry.unit,
    interpolation: entry.interpolation ?? (isState ? 'step' : 'linear'),
    rangeLow,
    rangeHigh,
    resolution: entry.resolution ?? (isState ? 1 : 0),
    staleAfterMs: entry.staleAfterMs ?? STALE_AFTER_MS,
    ...(entry.error === undefined ? {} : { error: { ...NO_ERROR, ...entry.error } }),
  };
}

const NO_ERROR = { toleranceRatio: 0, tolerance: 0, scatterRatio: 0, scatter: 0 };

function tagAddress(
  line: LineEntry,
  at: { readonly machine: MachineEntry; readonly entry: TagEntry; readonly plant: PlantFile },
): ConfiguredAddress {
  const endpoint = at.plant.endpoints.find(({ id }) => id === line.endpoint);
  return {
    tag: `${line.id}.${at.machine.id}.${at.entry.signal}`,
    endpoint: line.endpoint,
    node: at.entry.node.includes('=') ? at.entry.node : `nsu=${endpoint?.namespace ?? ''};s=${at.entry.node}`,
    staleAfterMs: at.entry.staleAfterMs ?? STALE_AFTER_MS,
    factor: at.entry.factor ?? null,
  };
}
