import type { BalanceReport } from '#server/contract/balance-report.ts';
import type { LineStep } from '#server/line/step-line.ts';
import { PRODUCTS } from '#simulator/physics/treating-train.ts';
import type { DrawnReadings } from '#tests/support/drawn-readings.ts';
import type { BenchLine } from './bench-line.ts';
import { figureValue } from './figure-lookup.ts';
import { runLine } from './line-run.ts';
import { namingsIn } from './namings.ts';
import { CLEAN, FEED, PUMPS, WHEEL } from './nodes.ts';
import { HOURS_8_S, runOf, shiftTruth } from './runs.ts';
import { seedTruth, type Stretch } from './seed-truth.ts';

/** How far something is from the truth, and how far an oracle is that has the true lags and the same readings. */
export interface Miss {
  /** Null where the line has no figure. */
  readonly line: number | null;
  readonly oracle: number;
}

export interface LotResult {
  /** Points of yield. */
  readonly yield: Miss;
  /** Per cent of the true dose, by product. */
  readonly doses: readonly Miss[];
  /** How often an instrument or a group was named in these eight hours; null without a balance. */
  readonly namings: number | null;
  /** Minutes of the balance in which it said that something does not fit, without naming anything. */
  readonly imbalances: number;
}

const LOT_FROM_S = 600;

/** One lot of nearly eight hours: what the line says of it in the end, and how far that is from the truth. */
export function lotResult(line: BenchLine, index: number, draw: number | null): LotResult {
  const truth = shiftTruth(index);
  const run = runOf(truth, draw, { lotFromS: LOT_FROM_S });
  const reports: BalanceReport[] = [];
  let last: LineStep | null = null;
  runLine(line, run, (step) => {
    last = step;
    if (step.balance !== null && step.balance !== reports.at(-1)) reports.push(step.balance);
  });
  const real = seedTruth(truth);
  const lagS = real.lagS(CLEAN);
  const [seen, entered] = [
    { fromS: LOT_FROM_S + lagS, toS: HOURS_8_S },
    { fromS: LOT_FROM_S, toS: HOURS_8_S - lagS },
  ];
  const trueYield = real.mean(CLEAN, whole(seen)) / real.feedOf(CLEAN, whole(seen));
  const shown = (node: string, stretch: Stretch) => meanShown(run.readings, node, whole(stretch));
  const lot = { fromS: LOT_FROM_S, toS: HOURS_8_S };
  return {
    yield: {
      line: missed(
        figureValue(line, last, { kind: 'yield', window: 'lot' }),
        (value) => (value - trueYield) * 100,
      ),
      oracle: Math.abs(shown(CLEAN, seen) / shown(FEED, entered) - trueYield) * 100,
    },
    doses: PUMPS.map((pump, product) => {
      const trueRatio = real.mean(pump, lot) / real.mean(WHEEL, lot);
      const name = PRODUCTS[product]?.name ?? '';
      const dose = figureValue(line, last, { kind: 'product-dose', window: 'lot', product: name });
      const trueDose = trueRatio * 60 * bushelKg(line, truth.plan.crop);
      return {
        line: missed(dose, (value) => (value / trueDose - 1) * 100),
        oracle: Math.abs(shown(pump, lot) / shown(WHEEL, lot) / trueRatio - 1) * 100,
      };
    }),
    namings: reports.length === 0 ? null : namingsIn(reports),
    imbalances: reports.filter(({ verdict }) => verdict === 'imbalance').length,
  };
}

function missed(value: number | null, by: (value: number) => number): number | null {
  return value === null ? null : Math.abs(by(value));
}

function bushelKg({ setup }: BenchLine, crop: string): number {
  const found = setup.crops.find(({ id }) => id === crop);
  if (found === undefined) throw new Error(`the demo has no crop ${crop}`);
  return found.bushelMassKg;
}

function whole({ fromS, toS }: Stretch): Stretch {
  return { fromS: Math.round(fromS), toS: Math.round(toS) };
}

/** What an oracle does with readings: the plain mean over the right stretch of time. */
export function meanShown({ values }: DrawnReadings, node: string, { fromS, toS }: Stretch): number {
  const own = values.get(node)?.subarray(Math.max(0, fromS), toS) ?? new Float64Array();
  return own.reduce((sum, value) => sum + value, 0) / own.length;
}
