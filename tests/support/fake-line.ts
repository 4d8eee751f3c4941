import type { Band, FigureDescription, FigureKind } from '#server/contract/figure-message.ts';
import type { LineGraph, Machine, MachineKind, Stream } from '#server/contract/line-graph.ts';
import type { PlantDescription } from '#server/contract/plant-description.ts';
import type { TagDescription } from '#server/contract/tag-description.ts';
import type { UnitCode } from '#server/contract/unit-code.ts';
import { CONTRACT_VERSION } from '#server/contract/version.ts';

/** One machine of an invented line, with what it takes out of the seed and how much that usually is. */
export interface FakeMachine {
  readonly name: string;
  readonly kind: MachineKind;
  readonly reject?: {
    readonly name: string;
    readonly share: number;
    readonly band: readonly [number, number];
    readonly isMeasured?: boolean;
  };
  readonly isBypassed?: boolean;
}

export interface FakeLine {
  readonly graph: LineGraph;
  readonly figures: readonly FigureDescription[];
  readonly tags: readonly TagDescription[];
  /** Where each series usually lies, in its stored unit. */
  readonly usual: ReadonlyMap<string, number>;
  readonly bands: ReadonlyMap<string, Band>;
}

export const BUSHEL_KG = 27.215_542_2;
const FEED_KG_PER_H = 486 * BUSHEL_KG;
const ML_PER_FL_OZ = 29.573_529_562_5;
const TRANSPORT_MS = 45_000;

/** The line of the design sketch. The plant and all its numbers are invented. */
export const SKETCH_MACHINES: readonly FakeMachine[] = [
  { name: 'Intake', kind: 'intake' },
  { name: 'Scalper', kind: 'scalper', reject: { name: 'overs', share: 0.006, band: [0.004, 0.012] } },
  {
    name: 'Air-screen',
    kind: 'air-screen',
    reject: { name: 'screenings', share: 0.042, band: [0.03, 0.05] },
  },
  { name: 'Aspirator', kind: 'aspirator', reject: { name: 'liftings', share: 0.014, band: [0.01, 0.025] } },
  {
    name: 'Length grader',
    kind: 'length-grader',
    reject: { name: 'shorts', share: 0, band: [0, 0.02] },
    isBypassed: true,
  },
  { name: 'Sizer', kind: 'sizer', reject: { name: 'splits', share: 0.021, band: [0.015, 0.03] } },
  { name: 'Destoner', kind: 'destoner', reject: { name: 'stones', share: 0.0005, band: [0.0002, 0.001] } },
  {
    name: 'Gravity table',
    kind: 'gravity-table',
    reject: { name: 'lights', share: 0.052, band: [0.04, 0.06] },
  },
  { name: 'Treater', kind: 'treater' },
  { name: 'Dryer', kind: 'dryer' },
  { name: 'Bagging', kind: 'bagger' },
];

export function fakePlant(machines: readonly FakeMachine[]): {
  readonly plant: PlantDescription;
  readonly line: FakeLine;
} {
  const line = fakeLine(machines);
  const plant: PlantDescription = {
    contractVersion: CONTRACT_VERSION,
    name: 'Quillmarsh Station',
    timeZone: 'America/Chicago',
    tickMs: 250,
    crops: [{ id: 'soybean', name: 'soybean', bushelMassKg: BUSHEL_KG }],
    lines: [line.graph],
    tags: [...line.tags],
    figures: [...line.figures],
  };
  return { plant, line };
}

function fakeLine(machines: readonly FakeMachine[]): FakeLine {
  const usual = new Map<string, number>();
  const bands = new Map<string, Band>();
  const tags: TagDescription[] = [];
  const figures: FigureDescription[] = [];
  const addFigure = (
    id: string,
    kind: FigureKind,
    more: Partial<FigureDescription> & { usual: number; band?: Band },
  ) => {
    const { usual: value, band, ...rest } = more;
    figures.push({ ...FIGURE, ...rest, id, kind });
    usual.set(id, value);
    if (band !== undefined) bands.set(id, band);
  };
  const addTag = (id: string, unit: UnitCode, value: number) => {
    const [, machine = '', signal = ''] = id.split('.');
    const name = signal.replaceAll('-', ' ');
    tags.push({ ...TAG, id, machine, name, unit, interpolation: unit === 'state' ? 'step' : 'linear' });
    usual.set(id, value);
    return id;
  };
  const ids = machines.map(idOf);
  const graphMachines = machines.map((machine): Machine => ({
    id: idOf(machine),
    name: machine.name,
    kind: machine.kind,
    runningTag: addTag(`a.${idOf(machine)}.running`, 'state', machine.isBypassed === true ? 0 : 1),
    bypassedTag:
      machine.isBypassed === undefined
        ? null
        : addTag(`a.${idOf(machine)}.bypassed`, 'state', machine.isBypassed ? 1 : 0),
    motorCurrentTag: addTag(`a.${idOf(machine)}.motor-current`, 'A', 8 + ids.indexOf(idOf(machine))),
    tags: [addTag(`a.${idOf(machine)}.bearing-temperature`, 'degC', 41)],
  }));
  const streams = streamsOf(machines);
  addLineFigures(machines, addFigure);
  for (const machine of machines) addRejectFigures(machine, addFigure);
  return {
    graph: { id: 'a', name: 'Line A', machines: graphMachines, streams },
    figures,
    tags,
    usual,
    bands,
  };
}

type AddFigure = (
  id: string,
  kind: FigureKind,
  more: Partial<FigureDescription> & { usual: number; band?: Band },
) => void;

function addLineFigures(machines: readonly FakeMachine[], add: AddFigure): void {
  const taken = machines.reduce((sum, { reject }) => sum + (reject?.share ?? 0), 0);
  const clean = FEED_KG_PER_H * (1 - taken);
  add('a.line.feed-rate', 'feed-rate', {
    unit: 'kg/h',
    stream: 'into-intake',
    usual: FEED_KG_PER_H,
    band: { low: 460 * BUSHEL_KG, high: 500 * BUSHEL_KG, target: 480 * BUSHEL_KG },
  });
  add('a.line.clean-rate', 'clean-rate', { unit: 'kg/h', stream: cleanStream(machines), usual: clean });
  add('a.line.yield', 'yield', {
    window: 'lot',
    usual: 1 - taken,
    band: { low: 0.84, high: 0.88, target: 0.85 },
  });
  add('a.line.closure', 'closure', { window: 'ten-minutes', usual: 0.004 });
  add('a.line.lot-mass', 'lot-mass', { unit: 'kg', window: 'lot', usual: 1170 * BUSHEL_KG });
  add('a.line.moisture', 'moisture', { usual: 0.121, band: { low: 0.11, high: 0.13, target: null } });
  if (!machines.some(({ kind }) => kind === 'treater')) return;
  add('a.line.treated-rate', 'treated-rate', { unit: 'kg/h', stream: 'after-treater', usual: clean });
  const dose = (flOz: number) => flOz * ML_PER_FL_OZ;
  add('a.treater.dose', 'dose', {
    unit: 'mL/bu',
    machine: 'treater',
    usual: dose(4.83),
    band: { low: dose(4.6), high: dose(5), target: dose(4.8) },
  });
  for (const [index, product] of ['Coat A', 'Coat B', 'Binder'].entries()) {
    const id = `a.treater.product-dose-${index + 1}`;
    add(id, 'product-dose', {
      unit: 'mL/bu',
      machine: 'treater',
      product,
      usual: dose([2.4, 1.8, 0.63][index] ?? 0),
    });
  }
}

function addRejectFigures(machine: FakeMachine, add: AddFigure): void {
  const { reject } = machine;
  if (reject === undefined || reject.isMeasured === false) return;
  const id = idOf(machine);
  const where = { machine: id, stream: `${id}-${reject.name}` };
  const band = { low: reject.band[0], high: reject.band[1], target: null };
  add(`a.${id}.reject-rate`, 'reject-rate', { ...where, unit: 'kg/h', usual: reject.share * FEED_KG_PER_H });
  add(`a.${id}.reject-share`, 'reject-share', { ...where, usual: reject.share, band });
  add(`a.${id}.reject-ratio`, 'reject-ratio', { ...where, usual: reject.share * 1.08 });
}

function streamsOf(machines: readonly FakeMachine[]): Stream[] {
  const main = machines.map((machine, index): Stream => {
    const before = machines[index - 1];
    return {
      ...STREAM,
      id: before === undefined ? `into-${idOf(machine)}` : `after-${idOf(before)}`,
      name: 'seed',
      role: 'main',
      from: before === undefined ? null : idOf(before),
      to: idOf(machine),
    };
  });
  const last = machines.at(-1);
  const out: Stream[] =
    last === undefined
      ? []
      : [{ ...STREAM, id: `after-${idOf(last)}`, name: 'bags', role: 'main', from: idOf(last), to: null }];
  const rejects = machines.flatMap((machine): Stream[] =>
    machine.reject === undefined
      ? []
      : [
          {
            ...STREAM,
            id: `${idOf(machine)}-${machine.reject.name}`,
            name: machine.reject.name,
            role: 'reject',
            from: idOf(machine),
            to: null,
          },
        ],
  );
  return [...main, ...out, ...rejects];
}

function cleanStream(machines: readonly FakeMachine[]): string {
  const last = machines.findLast(({ reject }) => reject !== undefined);
  return last === undefined ? 'into-intake' : `after-${idOf(last)}`;
}

function idOf({ name }: FakeMachine): string {
  return name.toLowerCase().replaceAll(' ', '-');
}

const FIGURE = {
  line: 'a',
  machine: null,
  stream: null,
  product: null,
  window: 'now',
  unit: '1',
  resolution: 0.0001,
  sources: [] as string[],
} as const;

const TAG = { line: 'a', rangeLow: null, rangeHigh: null, resolution: 0.01, staleAfterMs: 5000 } as const;

const STREAM = {
  massFlowTag: null,
  massTotalTag: null,
  volumeFlowTag: null,
  transportMs: TRANSPORT_MS,
} as const;
