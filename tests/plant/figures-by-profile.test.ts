import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadConfig } from '#server/config/load-config.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import type { FigureMessage } from '#server/contract/figure-message.ts';
import type { Reading } from '#server/contract/reading.ts';
import type { Lot } from '#server/contract/records.ts';
import { framesFrom } from '#server/line/frames.ts';
import { lineSetup } from '#server/line/line-setup.ts';
import { NEW_LINE, stepLine, type LineStep } from '#server/line/step-line.ts';
import { simulatedPlant, type SimReading } from '#simulator/simulated-plant.ts';
import type { Profile } from '#simulator/tags/tag-entry.ts';
import type { Truth } from '#simulator/truth/truth.ts';
import { steady } from '#tests/line/demo-readings.ts';

const SEED = 3;
const MINUTES = 40;
const TICK_MS = 1000;
const START_MS = Date.UTC(2026, 8, 14, 11);
const QUALITY = ['good', 'uncertain', 'bad'] as const;
const fileOf = (name: string) => fileURLToPath(new URL(`../../config/${name}`, import.meta.url));

interface Run {
  readonly figures: ReadonlyMap<string, FigureMessage>;
  readonly step: LineStep;
  /** Over the last ten minutes: yield of the seed and all liquid to a bushel, as it really was. */
  readonly real: { readonly yield: number; readonly doseMlPerBu: number };
}

/** The simulated plant with these instruments, watched for forty minutes by the line that its configuration describes. */
async function run(file: string, profile: Profile): Promise<Run> {
  const config = await loadConfig(fileOf(file));
  const sim = simulatedPlant({ seed: SEED, profile });
  const readings = [...sim.readings()];
  const truths: Truth[] = [];
  for (let second = 0; second < MINUTES * 60; second += 1) {
    readings.push(...sim.step(1000));
    truths.push(sim.truth());
  }
  const mean = (of: (truth: Truth) => number) =>
    truths.slice(-600).reduce((sum, truth) => sum + of(truth), 0) / 600;
  const pumps = mean(({ pumpsMlPerMin }) => pumpsMlPerMin.reduce((sum, flow) => sum + flow, 0));
  const step = watched(config, plainReadings(config, readings));
  return {
    step,
    figures: new Map(step.figures.map((figure) => [figure.id, figure])),
    real: {
      yield: mean(({ streams }) => streams.clean.kgPerH) / mean(({ streams }) => streams.feed.kgPerH),
      doseMlPerBu: (pumps * 60 * 27.2155422) / mean(({ seedWheelKgPerH }) => seedWheelKgPerH),
    },
  };
}

function plainReadings(config: PlantConfig, readings: readonly SimReading[]): readonly Reading[] {
  const addresses = new Map(config.addresses.map((address) => [address.node.split(';s=').at(-1), address]));
  return readings.flatMap(({ node, timeMs, value, quality }): readonly Reading[] => {
    const address = addresses.get(node);
    if (address === undefined) return [];
    const sourceTimeMs = START_MS + timeMs;
    const ours = value * (address.factor ?? 1);
    return [
      { tag: address.tag, sourceTimeMs, arrivalMs: sourceTimeMs, value: ours, quality: QUALITY[quality] },
    ];
  });
}

function watched(config: PlantConfig, readings: readonly Reading[]): LineStep {
  const [graph] = config.lines;
  const [settings] = config.settings;
  if (graph === undefined || settings === undefined) throw new Error('the configuration has no line');
  const endpointOf = new Map(config.addresses.map(({ tag, endpoint }) => [tag, endpoint]));
  const setup = lineSetup({ graph, settings, crops: config.crops, tags: config.tags, endpointOf });
  let state = NEW_LINE;
  let last: LineStep | null = null;
  for (const frame of framesFrom(readings, TICK_MS, TICK_MS)) {
    last = stepLine(setup, state, { frame, lostEndpoints: new Set(), lot: lotOf(config) });
    state = last.state;
  }
  if (last === null) throw new Error('no frame came out of these readings');
  return last;
}

function lotOf({ firstLots }: PlantConfig): Lot | null {
  const [details] = firstLots;
  if (details === undefined) return null;
  const writtenBy = { id: 'Ada', role: 'operator' } as const;
  return { id: 1, writtenBy, writtenMs: START_MS, startedMs: START_MS, endedMs: null, ...details };
}

const knownOf = ({ figures }: Run, id: string) => {
  const figure = figures.get(id);
  if (figure?.value == null || figure.uncertainty === null)
    throw new Error(`${id}: ${figure?.because ?? 'no uncertainty'}`);
  return { ...figure, value: figure.value, uncertainty: figure.uncertainty };
};
const becauseOf = ({ figures }: Run, id: string) => figures.get(id)?.because;

describe('the line with all instruments', () => {
  let full: Run;
  beforeAll(async () => {
    full = await run('plant.yaml', 'full');
  });

  it('knows the yield and the dose of ten minutes to within what it says they are uncertain by', () => {
    const yieldNow = knownOf(full, 'a.line.yield-ten-minutes');
    expect(Math.abs(yieldNow.value - full.real.yield)).toBeLessThan(2 * yieldNow.uncertainty);
    expect(yieldNow.uncertainty).toBeLessThan(0.006);
    const dose = knownOf(full, 'a.treater.dose-ten-minutes');
    expect(Math.abs(dose.value - full.real.doseMlPerBu)).toBeLessThan(2 * dose.uncertainty);
  });

  it('closes its balance and suspects no instrument', () => {
    expect(full.step.state.balance.report).toMatchObject({ verdict: 'fits', suspects: [] });
  });

  it('knows every reject on the route, and says of the bypassed grader that it is bypassed', () => {
    expect(becauseOf(full, 'a.length-grader.reject-share')).toBe('machine-bypassed');
    for (const machine of ['scalper', 'air-screen', 'aspirator', 'sizer', 'destoner', 'gravity-table'])
      expect(knownOf(full, `a.${machine}.reject-share-lot`).value).toBeGreaterThan(0);
  });
});

describe('the line with the instruments that most plants have', () => {
  let typical: Run;
  beforeAll(async () => {
    typical = await run('typical.yaml', 'typical');
  });

  it('knows the yield, and all rejects and losses by difference', () => {
    const found = knownOf(typical, 'a.line.yield-ten-minutes');
    expect(Math.abs(found.value - typical.real.yield)).toBeLessThan(2 * found.uncertainty);
    expect(knownOf(typical, 'a.line.rejects-by-difference-ten-minutes').value).toBeGreaterThan(1000);
  });

  it('knows the dose by the platform scale, and of each product by recipe, which is uncertain', () => {
    const dose = knownOf(typical, 'a.treater.dose-ten-minutes');
    expect(dose.quality).toBe('good');
    expect(Math.abs(dose.value / typical.real.doseMlPerBu - 1)).toBeLessThan(0.01);
    expect(knownOf(typical, 'a.treater.product-dose-1-ten-minutes').quality).toBe('uncertain');
  });

  it('says of the rejects that nobody weighs them, and of the scales that none can be checked', () => {
    expect(becauseOf(typical, 'a.scalper.reject-share')).toBe('not-measured');
    expect(becauseOf(typical, 'a.line.closure-ten-minutes')).toBe('not-measured');
    expect(typical.step.state.balance.report).toMatchObject({ verdict: 'no-redundancy', suspects: [] });
  });
});

describe('the line with the poorest instruments', () => {
  let poor: Run;
  beforeAll(async () => {
    poor = await run('poor.yaml', 'poor');
  });

  it('knows the yield of the lot by its bags, less the liquid by plan, and calls it uncertain', () => {
    const found = knownOf(poor, 'a.line.yield-lot');
    expect(found.quality).toBe('uncertain');
    expect(Math.abs(found.value - poor.real.yield)).toBeLessThan(0.015);
  });

  it('has no yield of now, no dose and no reject, and says why', () => {
    expect(becauseOf(poor, 'a.line.yield')).toBe('window-uncovered');
    expect(becauseOf(poor, 'a.treater.dose-lot')).toBe('not-measured');
    expect(becauseOf(poor, 'a.gravity-table.reject-rate')).toBe('not-measured');
  });
});

describe('a line of four machines', () => {
  it('of the template knows its yield, and that neither scale can be checked', async () => {
    const config = await loadConfig(fileOf('template.yaml'));
    const span = { fromMs: START_MS, toMs: START_MS + MINUTES * 60_000 };
    const readings = [
      ...steady('one.intake.mass-flow', 5000, span),
      ...steady('one.bagger.mass-flow', 4500, span),
    ];
    const step = watched(
      config,
      readings.toSorted((a, b) => a.arrivalMs - b.arrivalMs),
    );
    const figure = (id: string) => step.figures.find((each) => each.id === id);
    expect(figure('one.line.yield-ten-minutes')?.value).toBeCloseTo(0.9, 9);
    expect(figure('one.line.closure-ten-minutes')?.because).toBe('not-measured');
    expect(step.state.balance.report).toMatchObject({ verdict: 'no-redundancy' });
  });
});
