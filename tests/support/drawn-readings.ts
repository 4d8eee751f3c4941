import { catalogue } from '#simulator/catalogue.ts';
import { instrument, type Instrument } from '#simulator/instruments/instrument.ts';
import { TOTAL_ROLLOVER_KG } from '#simulator/tags/process-tags.ts';
import type { TagEntry } from '#simulator/tags/tag-entry.ts';
import { BAGGED, type PlantTruth } from '#tests/support/plant-truth.ts';

/** What the instruments showed of a truth, second by second, by node. */
export interface DrawnReadings {
  readonly values: ReadonlyMap<string, Float64Array>;
  /** Severity as OPC UA counts it; a node without a column was good throughout. */
  readonly severities: ReadonlyMap<string, Uint8Array>;
}

export interface Draw {
  /** Seed of the instruments' own errors and scatter; null for instruments that show the plain truth. */
  readonly seed: number | null;
  /** A scale whose span steps, and its totaliser with it. */
  readonly spanStep?: { readonly node: string; readonly fromS: number; readonly share: number };
  /** The part of the truth that is wanted, in seconds; everything where left out. */
  readonly fromS?: number;
  readonly toS?: number;
}

const TOTAL_OF: ReadonlyMap<string, string> = new Map([
  ['Intake.MassTotal', 'Intake.MassFlow'],
  ['Clean.MassTotal', 'Clean.MassFlow'],
  ['Treater.SeedTotal', 'Treater.SeedFlow'],
]);
const WELL = { span: 0, zero: 0, frozen: 0, badStatus: 0 };
/** Totalisers count in tenths of a kilogram, and stand somewhere short of rolling over. */
const COUNT_KG = 0.1;
const START_KG = 963_000;

/**
 * The simulator's own instruments, drawn anew over a truth that was played before: only their chance differs
 * between two draws, so hundreds cost seconds.
 */
export function drawnReadings(truth: PlantTruth, draw: Draw): DrawnReadings {
  const values = new Map<string, Float64Array>();
  const severities = new Map<string, Uint8Array>();
  for (const entry of catalogue('full')) {
    const column = truth.columns.get(entry.node)?.subarray(draw.fromS ?? 0, draw.toS ?? Infinity);
    if (column === undefined || entry.node === BAGGED) continue;
    const shown = shownBy(entry, column, draw);
    values.set(entry.node, shown.values);
    if (shown.severities.some((severity) => severity > 0)) severities.set(entry.node, shown.severities);
    for (const [total, scale] of TOTAL_OF) if (scale === entry.node) values.set(total, shown.totals);
  }
  values.set(BAGGED, bagTotals(truth, draw));
  return { values, severities };
}

interface Shown {
  readonly values: Float64Array;
  readonly severities: Uint8Array;
  readonly totals: Float64Array;
}

function shownBy(entry: TagEntry, column: Float32Array, draw: Draw): Shown {
  const meter =
    draw.seed === null || entry.kind === 'counter'
      ? plainMeter()
      : instrument({ entry, seed: draw.seed, stepS: 1 });
  const shown = {
    values: new Float64Array(column.length),
    severities: new Uint8Array(column.length),
    totals: new Float64Array(column.length),
  };
  let kg = START_KG;
  column.forEach((truth, second) => {
    const span = spanError(draw, entry.node, second);
    shown.values[second] = meter.read(truth, span === 0 ? WELL : { ...WELL, span });
    shown.severities[second] = meter.quality();
    kg += Math.max(0, meter.indicated()) / 3600;
    shown.totals[second] = counted(kg);
  });
  return shown;
}

/** Shows what is, at once and without scatter. */
function plainMeter(): Instrument {
  let indicated = 0;
  return {
    read: (truth, faults) => (indicated = truth * (1 + faults.span)),
    quality: () => 0,
    indicated: () => indicated,
  };
}

/** A bag is weighed once: a span error counts from the bag on that is filled after the step. */
function bagTotals(truth: PlantTruth, draw: Draw): Float64Array {
  const column = truth.columns.get(BAGGED)?.subarray(draw.fromS ?? 0, draw.toS ?? Infinity);
  if (column === undefined) throw new Error(`the truth lacks ${BAGGED}`);
  const fixed = 1 + bagSpan(draw.seed);
  const totals = new Float64Array(column.length);
  let kg = START_KG;
  let before = column[0] ?? 0;
  column.forEach((bagged, second) => {
    kg += (bagged - before) * fixed * (1 + spanError(draw, BAGGED, second));
    before = bagged;
    totals[second] = counted(kg);
  });
  return totals;
}

/** The fixed span error of the bagging scale is that of its bag masses. */
function bagSpan(seed: number | null): number {
  const entry = catalogue('full').find(({ node }) => node === 'Bagger.BagMass');
  if (seed === null || entry === undefined) return 0;
  const scale = instrument({ entry, seed, stepS: 1 });
  scale.read(1, WELL);
  return scale.indicated() - 1;
}

function spanError({ spanStep, fromS = 0 }: Draw, node: string, second: number): number {
  return spanStep?.node === node && second + fromS >= spanStep.fromS ? spanStep.share : 0;
}

function counted(kg: number): number {
  return (Math.floor(kg / COUNT_KG) * COUNT_KG) % TOTAL_ROLLOVER_KG;
}
