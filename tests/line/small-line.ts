import type { Frame } from '#server/contract/frame.ts';
import type { LineGraph, Machine, Stream } from '#server/contract/line-graph.ts';
import type { LineSettings } from '#server/contract/line-settings.ts';
import type { Reading } from '#server/contract/reading.ts';
import type { TagDescription } from '#server/contract/tag-description.ts';
import { framesFrom } from '#server/line/frames.ts';
import { lineSetup, type LineSetup } from '#server/line/line-setup.ts';
import { NEW_LINE, stepLine, type LineStep } from '#server/line/step-line.ts';

const machine = (id: string, kind: Machine['kind']): Machine => ({
  id,
  name: id,
  kind,
  runningTag: null,
  bypassedTag: id === 'cleaner' ? 's.cleaner.bypassed' : null,
  motorCurrentTag: null,
  tags: [],
});

const stream = (id: string, parts: Partial<Stream>): Stream => ({
  id,
  name: id,
  role: 'main',
  from: null,
  to: null,
  massFlowTag: null,
  massTotalTag: null,
  volumeFlowTag: null,
  transportMs: 0,
  ...parts,
});

/** Four machines, nothing like the demo: intake, two separators, a treater; 30 s from feed to clean scale. */
export const SMALL_GRAPH: LineGraph = {
  id: 's',
  name: 'Small line',
  machines: [
    machine('pit', 'intake'),
    machine('cleaner', 'air-screen'),
    machine('table', 'gravity-table'),
    machine('drum', 'treater'),
  ],
  streams: [
    stream('feed', { to: 'pit', massFlowTag: 's.pit.flow' }),
    stream('raw', { from: 'pit', to: 'cleaner', transportMs: 0 }),
    stream('cleaned', { from: 'cleaner', to: 'table', transportMs: 10_000 }),
    stream('clean', { from: 'table', to: 'drum', massFlowTag: 's.table.clean-flow', transportMs: 20_000 }),
    stream('treated', { from: 'drum' }),
    stream('screenings', { role: 'reject', from: 'cleaner', massFlowTag: 's.cleaner.screenings' }),
    stream('lights', { role: 'reject', from: 'table', massFlowTag: 's.table.lights' }),
    stream('coat', { role: 'liquid', to: 'drum', volumeFlowTag: 's.drum.pump' }),
  ],
};

const SETTINGS: LineSettings = {
  line: 's',
  defaultCrop: 'soybean',
  feedKgPerHFloor: 100,
  nowWindowMs: 10_000,
  bridgedGapMsMax: 20_000,
  coveredRatioMin: 0.5,
  bands: { 's.line.yield': { low: 0.8, high: 0.9, target: 0.85 } },
};

const tag = (id: string): TagDescription => ({
  id,
  line: 's',
  machine: id.split('.')[1] ?? '',
  name: id,
  unit: id.endsWith('bypassed') ? 'state' : 'kg/h',
  interpolation: id.endsWith('bypassed') ? 'step' : 'linear',
  rangeLow: null,
  rangeHigh: null,
  resolution: 0,
  staleAfterMs: 10_000,
});

export const SMALL_TAGS = [
  's.pit.flow',
  's.table.clean-flow',
  's.cleaner.screenings',
  's.table.lights',
  's.drum.pump',
];

export function smallSetup(graph: LineGraph = SMALL_GRAPH): LineSetup {
  const tags = [...SMALL_TAGS, 's.cleaner.bypassed'].map(tag);
  return lineSetup({
    graph,
    settings: SETTINGS,
    crops: [
      { id: 'soybean', name: 'Soybean', bushelMassKg: 27.2155422 },
      { id: 'corn', name: 'Corn', bushelMassKg: 25.40117272 },
    ],
    tags,
    endpointOf: new Map(tags.map(({ id }) => [id, 'plc'])),
  });
}

/** Runs readings through the line in ticks of 250 ms and answers with the last step. */
export function ran(
  setup: LineSetup,
  readings: readonly Reading[],
  lostEndpoints: ReadonlySet<string> = new Set(),
): LineStep & { readonly frame: Frame } {
  const inOrder = readings.toSorted((a, b) => a.arrivalMs - b.arrivalMs);
  let state = NEW_LINE;
  let last: (LineStep & { readonly frame: Frame }) | null = null;
  for (const frame of framesFrom(inOrder, 250, 500)) {
    const step = stepLine(setup, state, { frame, lostEndpoints, lot: null });
    state = step.state;
    last = { ...step, frame };
  }
  if (last === null) throw new Error('no frame came out of these readings');
  return last;
}

export function figureOf(step: LineStep, id: string) {
  const figure = step.figures.find((candidate) => candidate.id === id);
  if (figure === undefined) throw new Error(`the line has no figure ${id}`);
  return figure;
}
