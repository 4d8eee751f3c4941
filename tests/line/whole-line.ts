import type { Frame } from '#server/contract/frame.ts';
import type { LineGraph, Machine, Stream } from '#server/contract/line-graph.ts';
import type { LineSettings } from '#server/contract/line-settings.ts';
import type { Reading } from '#server/contract/reading.ts';
import type { HandSample, Lot, Mark, Shift } from '#server/contract/records.ts';
import type { TagDescription } from '#server/contract/tag-description.ts';
import { framesFrom } from '#server/line/frames.ts';
import { lineSetup, type LineSetup } from '#server/line/line-setup.ts';
import { NEW_LINE, stepLine, type LineInput, type LineStep } from '#server/line/step-line.ts';
import { reading } from '#tests/line/demo-readings.ts';

export const MINUTE_MS = 60_000;
const BELT = { toleranceRatio: 0.0025, tolerance: 0, scatterRatio: 0, scatter: 0 };
const METER = { toleranceRatio: 0.01, tolerance: 0, scatterRatio: 0, scatter: 0 };

const machine = (id: string, kind: Machine['kind'], parts: Partial<Machine> = {}): Machine => ({
  ...{ id, name: id, kind, runningTag: null, bypassedTag: null, motorCurrentTag: null, tags: [] },
  ...parts,
});
const stream = (id: string, parts: Partial<Stream>): Stream => ({
  ...{ id, name: id, role: 'main', from: null, to: null },
  ...{ massFlowTag: null, massTotalTag: null, volumeFlowTag: null, transportMs: 0 },
  ...parts,
});

/** From the pit to the bags: two separators, a bin, a treater, a dryer; 30 s to the clean scale, 50 s to the bags. */
export const WHOLE_GRAPH: LineGraph = {
  id: 'w',
  name: 'Whole line',
  machines: [
    machine('pit', 'intake'),
    machine('cleaner', 'air-screen', { bypassedTag: 'w.cleaner.bypassed' }),
    machine('table', 'gravity-table'),
    machine('bin', 'bin', { contentsTag: 'w.bin.level' }),
    machine('drum', 'treater'),
    machine('dryer', 'dryer'),
    machine('bagger', 'bagger'),
  ],
  streams: [
    stream('feed', {
      ...{ to: 'pit', massFlowTag: 'w.pit.flow', massTotalTag: 'w.pit.total', moistureTag: 'w.pit.moisture' },
    }),
    stream('raw', { from: 'pit', to: 'cleaner' }),
    stream('cleaned', { from: 'cleaner', to: 'table', transportMs: 10_000, transportErrorMs: 1000 }),
    stream('clean', {
      ...{ from: 'table', to: 'bin', massFlowTag: 'w.table.flow', massTotalTag: 'w.table.total' },
      ...{ moistureTag: 'w.table.moisture', transportMs: 20_000, transportErrorMs: 2000 },
    }),
    stream('to-drum', { from: 'bin', to: 'drum', massFlowTag: 'w.drum.flow', transportMs: 5000 }),
    stream('treated', { from: 'drum', to: 'dryer', transportMs: 5000 }),
    stream('dried', { from: 'dryer', to: 'bagger', moistureTag: 'w.dryer.moisture', transportMs: 10_000 }),
    stream('bagged', { from: 'bagger', massTotalTag: 'w.bagger.total' }),
    stream('screenings', { role: 'reject', from: 'cleaner', massFlowTag: 'w.cleaner.screenings' }),
    stream('lights', { role: 'reject', from: 'table', massFlowTag: 'w.table.lights' }),
    stream('coat', {
      ...{ role: 'liquid', to: 'drum', volumeFlowTag: 'w.drum.pump' },
      liquid: {
        products: [{ name: 'Coat', densityGPerMl: 1.1, solidsRatio: 0.4 }],
        ...{ tankMassTag: 'w.drum.tank', unusableKg: 2, calibrationMsMax: 24 * 60 * MINUTE_MS },
      },
    }),
  ],
};

const SETTINGS: LineSettings = {
  line: 'w',
  defaultCrop: 'soybean',
  feedKgPerHFloor: 100,
  nowWindowMs: 10_000,
  bridgedGapMsMax: 20_000,
  coveredRatioMin: 0.5,
  bands: { 'w.drum.product-dose-1': { low: 95, high: 105, target: 100 } },
  routes: [
    { name: 'all', bypassed: [] },
    { name: 'short', bypassed: ['cleaner'] },
  ],
};

/** By tag: unit, and what is stated of the instrument. */
const TAGS: Readonly<Record<string, Pick<TagDescription, 'unit'> & Partial<TagDescription>>> = {
  'w.pit.flow': { unit: 'kg/h', error: BELT, rangeHigh: 25_000 },
  'w.pit.total': { unit: 'kg', rangeHigh: 1000, interpolation: 'step' },
  'w.pit.moisture': { unit: '1', error: METER },
  'w.table.flow': { unit: 'kg/h', error: BELT, rangeHigh: 25_000 },
  'w.table.total': { unit: 'kg', rangeHigh: 1_000_000, interpolation: 'step' },
  'w.table.moisture': { unit: '1', error: METER },
  'w.bin.level': { unit: 'kg', error: { ...BELT, scatter: 1 } },
  'w.drum.flow': { unit: 'kg/h', error: BELT },
  'w.drum.pump': { unit: 'mL/min', error: METER, rangeHigh: 1500 },
  'w.drum.tank': { unit: 'kg', error: { ...BELT, toleranceRatio: 0.001, scatter: 0.02 }, rangeHigh: 200 },
  'w.dryer.moisture': { unit: '1', error: METER },
  'w.bagger.total': { unit: 'kg', error: BELT, rangeHigh: 1_000_000, interpolation: 'step' },
  'w.cleaner.screenings': { unit: 'kg/h', error: METER },
  'w.cleaner.bypassed': { unit: 'state', interpolation: 'step' },
  'w.table.lights': { unit: 'kg/h', error: METER },
};

export function wholeSetup(
  parts: { readonly graph?: LineGraph; readonly settings?: Partial<LineSettings> } = {},
): LineSetup {
  const tags = Object.entries(TAGS).map(([id, own]): TagDescription => ({
    ...{ id, line: 'w', machine: id.split('.')[1] ?? '', name: id, interpolation: 'linear' },
    ...{ rangeLow: null, rangeHigh: null, resolution: 0.1, staleAfterMs: 10_000 },
    ...own,
  }));
  return lineSetup({
    graph: parts.graph ?? WHOLE_GRAPH,
    settings: { ...SETTINGS, ...parts.settings },
    crops: [
      {
        ...{ id: 'soybean', name: 'Soybean', bushelMassKg: 27.2155422 },
        prices: { seedPerKg: 1.2, salvagePerKg: 0.2 },
      },
    ],
    tags,
    endpointOf: new Map(tags.map(({ id }) => [id, 'plc'])),
  });
}

const WRITTEN = { writtenBy: { id: 'Ada', role: 'operator' as const }, writtenMs: 0 };

export function lotFrom(startedMs: number, parts: Partial<Lot> = {}): Lot {
  return {
    ...{ id: 1, ...WRITTEN, line: 'w', number: 'QM-1', crop: 'soybean', massKgPlanned: null },
    ...{ testWeightKgPerHl: null, route: 'all', treatmentPlan: '1', startedMs, endedMs: null },
    products: [{ name: 'Coat', doseMlPerBu: 160, labelMlPerBuMin: 155, labelMlPerBuMax: 163 }],
    ...parts,
  };
}
export function shiftFrom(startedMs: number): Shift {
  return { id: 1, ...WRITTEN, line: 'w', name: 'Early', startedMs, endedMs: null };
}
export function lotMark(machineId: string, timeMs: number): Mark {
  return {
    id: 1,
    ...WRITTEN,
    line: 'w',
    machine: machineId,
    kind: 'lot',
    timeMs,
    text: 'last seed past here',
  };
}
export function handSample(of: string, takenMs: number, results: HandSample['results']): HandSample {
  return { id: 1, ...WRITTEN, line: 'w', stream: of, lot: null, takenMs, results, note: '' };
}

/** What flows in one second; each may be a number or change with the second. */
export type Flows = Readonly<Record<string, number | ((second: number) => number)>>;

/** 10,000 kg/h in, 400 and 600 rejected, 9,000 treated with 900 mL/min, all of it bagged; 12 % moisture throughout. */
export const STEADY: Flows = {
  'w.pit.flow': 10_000,
  'w.pit.moisture': 0.12,
  'w.cleaner.screenings': 400,
  'w.cleaner.bypassed': 0,
  'w.table.lights': 600,
  'w.table.flow': 9000,
  'w.table.moisture': 0.12,
  'w.bin.level': 500,
  'w.drum.flow': 9000,
  'w.drum.pump': 900,
  'w.drum.tank': (second) => 150 - (second * 900 * 1.1) / 60_000,
  'w.dryer.moisture': 0.12,
};
/** Counters, the rate that each counts and where it begins again. */
const COUNTED = [
  ['w.pit.total', 'w.pit.flow', 1000],
  ['w.table.total', 'w.table.flow', 1_000_000],
  ['w.bagger.total', 'w.drum.flow', 1_000_000],
] as const;

/** Readings once a second, or every `everyS`; counters count what their scales show. */
export function readingsOf(flows: Flows, seconds: number, everyS = 1): readonly Reading[] {
  const times = Array.from({ length: Math.floor(seconds / everyS) + 1 }, (_, index) => index * everyS);
  const at = (tag: string, second: number) => {
    const flow = flows[tag] ?? 0;
    return typeof flow === 'number' ? flow : flow(second);
  };
  const plain = Object.keys(flows).flatMap((tag) =>
    times.map((second) => reading(tag, second * 1000, at(tag, second))),
  );
  const counted = COUNTED.flatMap(([total, rate, rollsOverAt]) => {
    let kg = 900;
    return times.map((second) => {
      if (second > 0) kg += ((at(rate, second) + at(rate, second - everyS)) * everyS) / 7200;
      return reading(total, second * 1000, kg % rollsOverAt);
    });
  });
  return [...plain, ...counted];
}

/** Runs readings through the line in ticks of a second, or of `tickMs`, and answers with the last step. */
export function ranWhole(
  setup: LineSetup,
  readings: readonly Reading[],
  { tickMs = 1000, ...notes }: Partial<Omit<LineInput, 'frame'>> & { readonly tickMs?: number } = {},
): LineStep & { readonly frame: Frame; readonly input: LineInput; readonly steps: readonly LineStep[] } {
  const inOrder = readings.toSorted((a, b) => a.arrivalMs - b.arrivalMs);
  let state = NEW_LINE;
  const steps: LineStep[] = [];
  let input: LineInput | null = null;
  for (const frame of framesFrom(inOrder, tickMs, tickMs)) {
    input = { frame, lostEndpoints: new Set(), lot: null, ...notes };
    const step = stepLine(setup, state, input);
    state = step.state;
    steps.push(step);
  }
  const last = steps.at(-1);
  if (last === undefined || input === null) throw new Error('no frame came out of these readings');
  return { ...last, frame: input.frame, input, steps };
}
