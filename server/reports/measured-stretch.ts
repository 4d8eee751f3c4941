import { linearRegression } from '../calc/statistics/linear-regression.ts';
import { summaryOf } from '../calc/statistics/summary-of.ts';
import { sumOf } from '../calc/sum-of.ts';
import type { MeasuredAnswer, MeasuredSeries } from '../contract/stretch-answer.ts';
import type { Quantity, UnitCode } from '../contract/unit-code.ts';
import type { SampleStore } from '../ports/sample-store.ts';
import type { MeasureRequest } from '../ports/stretch-reports.ts';
import { evenMeans, stepMsFor, type EvenMeans } from './even-means.ts';

const MS_PER_H = 3_600_000;
const MIN_PER_H = 60;

/** What flows in an hour at a rate of one, by the unit of the rate. */
const TOTAL_OF_RATE: Partial<Record<UnitCode, { readonly unit: UnitCode; readonly perH: number }>> = {
  'kg/h': { unit: 'kg', perH: 1 },
  'mL/min': { unit: 'mL', perH: MIN_PER_H },
};

/** What each series did over one stretch: mean, least, most, spread, slope, and how much flowed. */
export async function measuredStretch(
  samples: Pick<SampleStore, 'thinned'>,
  { series, fromMs, toMs }: MeasureRequest,
  signal: AbortSignal,
): Promise<MeasuredAnswer> {
  const stepMs = stepMsFor(toMs - fromMs);
  const columns = await evenMeans(samples, series, { fromMs, toMs, stepMs, signal });
  return { fromMs, toMs, stepMs, series: columns.map((one) => measured(one, toMs)) };
}

function measured(columns: EvenMeans, toMs: number): MeasuredSeries {
  const { asked, timeMs, mean, min, max, first, last, coveredRatio } = columns;
  const knownMs = timeMs.map(
    (startMs, index) => ((timeMs[index + 1] ?? toMs) - startMs) * (coveredRatio[index] ?? 0),
  );
  const coveredMs = sumOf(knownMs);
  const lengthMs = toMs - (timeMs[0] ?? toMs);
  const weighted = sumOf(mean.map((value, index) => (value ?? 0) * (knownMs[index] ?? 0)));
  const known = mean.filter((value) => value !== null);
  const { standardDeviation } = summaryOf(known);
  return {
    series: asked.name,
    unit: asked.unit,
    first,
    last,
    difference: first === null || last === null ? null : last - first,
    slopePerH: slopePerH(timeMs, mean),
    mean: coveredMs === 0 ? null : weighted / coveredMs,
    min: least(min, Math.min),
    max: least(max, Math.max),
    standardDeviation: known.length < 2 ? null : standardDeviation,
    total: coveredMs === 0 ? null : totalOf(asked.unit, weighted / MS_PER_H),
    coveredRatio: lengthMs === 0 ? 0 : Math.min(1, coveredMs / lengthMs),
  };
}

/** Hours since the start, not since 1970: the line is fitted about numbers that have all their digits. */
function slopePerH(timeMs: readonly number[], mean: readonly (number | null)[]): number | null {
  const startMs = timeMs[0] ?? 0;
  const points = mean.flatMap((value, index) =>
    value === null ? [] : [{ x: ((timeMs[index] ?? 0) - startMs) / MS_PER_H, y: value }],
  );
  return linearRegression(points)?.slope ?? null;
}

function least(
  values: readonly (number | null)[],
  choose: (one: number, other: number) => number,
): number | null {
  return values.reduce<number | null>(
    (chosen, value) => (value === null ? chosen : chosen === null ? value : choose(chosen, value)),
    null,
  );
}

function totalOf(unit: UnitCode, rateHours: number): Quantity | null {
  const total = TOTAL_OF_RATE[unit];
  return total === undefined ? null : { value: rateHours * total.perH, unit: total.unit };
}
