import type { Reading } from '#server/contract/reading.ts';
import type { Lot } from '#server/contract/records.ts';
import { NEW_LINE, stepLine, type LineStep } from '#server/line/step-line.ts';
import { PRODUCTS } from '#simulator/physics/treating-train.ts';
import type { DrawnReadings } from '#tests/support/drawn-readings.ts';
import type { PlantTruth } from '#tests/support/plant-truth.ts';
import type { BenchLine } from './bench-line.ts';

export interface LineRun {
  readonly truth: PlantTruth;
  readonly readings: DrawnReadings;
  /** Second of the truth at which the readings begin. */
  readonly fromS: number;
  readonly seconds: number;
  /** Frames of this length: figures are worked out once in each. */
  readonly tickS: number;
  /** How often the plant reads its instruments; a divisor of the tick. */
  readonly everyS: number;
  /** When the lot begins, in seconds of the truth; null runs without a lot. */
  readonly lotFromS: number | null;
}

const QUALITY = ['good', 'uncertain', 'bad'] as const;
/** Time zero of the truth, by the plant's clock. */
const ZERO_MS = Date.UTC(2026, 8, 14, 6);

interface Source {
  readonly tag: string;
  readonly factor: number;
  readonly values: Float64Array;
  readonly severities: Uint8Array | undefined;
}

/** Runs readings through the line and tells of each frame, with the second of the truth at which it ended. */
export function runLine(
  { setup, addresses }: BenchLine,
  run: LineRun,
  tell: (step: LineStep, endS: number) => void,
): void {
  const sources = addresses.flatMap(({ tag, node, factor }): readonly Source[] => {
    const values = run.readings.values.get(node);
    const severities = run.readings.severities.get(node);
    const isHeard = values !== undefined && setup.tracked.has(tag);
    return isHeard ? [{ tag, factor, values, severities }] : [];
  });
  const contacts = contactReadings(addresses, run);
  const lot = run.lotFromS === null ? null : lotOf(run.truth, run.lotFromS);
  const latest = new Map<string, Reading>();
  let state = NEW_LINE;
  let contact = 0;
  for (let start = 0; start + run.tickS <= run.seconds; start += run.tickS) {
    const endS = run.fromS + start + run.tickS;
    const firstContact = contact;
    while ((contacts[contact]?.sourceTimeMs ?? Infinity) <= msOf(endS)) contact += 1;
    const readings = [...contacts.slice(firstContact, contact), ...readingsFrom(sources, run, start)];
    for (const reading of readings) latest.set(reading.tag, reading);
    const frame = { endMs: msOf(endS), tickMs: run.tickS * 1000, readings, latest: new Map(latest) };
    const isRunning = lot !== null && frame.endMs >= lot.startedMs;
    const step = stepLine(setup, state, { frame, lostEndpoints: new Set(), lot: isRunning ? lot : null });
    state = step.state;
    tell(step, endS);
  }
}

/** The readings of one frame, second by second. */
function readingsFrom(sources: readonly Source[], run: LineRun, start: number): Reading[] {
  const { fromS, tickS, everyS } = run;
  const seconds = Array.from({ length: tickS / everyS }, (_, index) => start + (index + 1) * everyS - 1);
  return seconds.flatMap((second) =>
    sources.map((source) => readingAt(source, second, msOf(fromS + second + 1))),
  );
}

/** What stood when the readings begin, and every change after. */
function contactReadings(addresses: BenchLine['addresses'], run: LineRun): readonly Reading[] {
  const firstMs = msOf(run.fromS) + 1;
  return run.truth.contacts.flatMap(({ node, timeMs, value }) => {
    const address = addresses.find((each) => each.node === node);
    if (address === undefined) return [];
    const sourceTimeMs = Math.max(firstMs, ZERO_MS + timeMs);
    return [{ tag: address.tag, sourceTimeMs, arrivalMs: sourceTimeMs, value, quality: 'good' }];
  });
}

function readingAt(source: Source, second: number, sourceTimeMs: number): Reading {
  const severity = source.severities?.[second] ?? 0;
  const value = severity === 2 ? null : (source.values[second] ?? 0) * source.factor;
  return {
    tag: source.tag,
    sourceTimeMs,
    arrivalMs: sourceTimeMs,
    value,
    quality: QUALITY[severity] ?? 'bad',
  };
}

function lotOf({ plan }: PlantTruth, fromS: number): Lot {
  return {
    id: 1,
    writtenBy: { id: 'bench', role: 'engineer' },
    writtenMs: msOf(fromS),
    line: 'a',
    number: 'QM-0001',
    crop: plan.crop,
    massKgPlanned: null,
    testWeightKgPerHl: null,
    route: 'as the gates stand',
    treatmentPlan: 'the three of the station',
    products: PRODUCTS.map(({ name, doseMlPerBu }) => ({
      name,
      doseMlPerBu,
      labelMlPerBuMin: null,
      labelMlPerBuMax: null,
    })),
    startedMs: msOf(fromS),
    endedMs: null,
  };
}

function msOf(second: number): number {
  return ZERO_MS + second * 1000;
}
