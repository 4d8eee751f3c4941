import { LAG_INTERVAL_MS, type LagRecord } from '#server/line/lag-record.ts';
import { lagErrorMsMax, lagEstimate } from '#server/line/lag-estimate.ts';
import { lagPairs } from '#server/line/lag-pairs.ts';
import { drawnReadings, type DrawnReadings } from '#tests/support/drawn-readings.ts';
import { trueTransit } from '#tests/support/true-transit.ts';
import type { BenchLine } from './bench-line.ts';
import { changesPlan, LAG_S } from './runs.ts';
import { cachedTruth } from './truth-cache.ts';

/** One stream of one run of two hours in which the feed changed three times. */
export interface LagResult {
  readonly stream: string;
  readonly isKnown: boolean;
  /** Within 10 % or 5 s of the mass-weighted transit. */
  readonly isNear: boolean;
}

/** The lags that two hours of readings show, and how near they are to what seed really took. */
export function lagResults(line: BenchLine, index: number): readonly LagResult[] {
  const plan = changesPlan(index);
  const record = recordOf(drawnReadings(cachedTruth(plan), { seed: 20_000 + index }));
  const nodeOf = (tag: string | null) => line.addresses.find((address) => address.tag === tag)?.node ?? '';
  return lagPairs(line.setup.graph, line.setup.layout).flatMap(({ stream, from }): readonly LagResult[] => {
    const node = nodeOf(stream.massFlowTag);
    const trueMs = trueTransit(cachedTruth, plan.crop, node).meanS * 1000;
    // Nothing flows off a machine that the crop goes past.
    if (!Number.isFinite(trueMs)) return [];
    const found = lagEstimate(record, {
      stream: node,
      from: nodeOf(from.massFlowTag),
      configuredMs: trueMs,
      feedKgPerHFloor: line.setup.settings.feedKgPerHFloor,
    });
    const isNear = found.known && Math.abs(found.lagMs - trueMs) <= lagErrorMsMax(trueMs);
    return [{ stream: stream.name, isKnown: found.known, isNear }];
  });
}

/** What the line would remember of these readings. */
function recordOf({ values }: DrawnReadings): LagRecord {
  const length = LAG_INTERVAL_MS / 1000;
  const flows = new Map(
    [...values].map(([node, column]) => [
      node,
      Array.from({ length: LAG_S / length }, (_, index) => {
        const own = column.subarray(index * length, (index + 1) * length);
        return own.reduce((sum, value) => sum + value, 0) / length;
      }),
    ]),
  );
  return { endMs: LAG_S * 1000, route: '', flows };
}
