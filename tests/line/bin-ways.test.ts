import { describe, expect, it } from 'vitest';
import type { LineGraph } from '#server/contract/line-graph.ts';
import type { Reading } from '#server/contract/reading.ts';
import { binWaysThrough } from '#server/line/bin-ways.ts';
import { waysThrough } from '#server/line/line-context.ts';
import { badReading, reading } from '#tests/line/demo-readings.ts';
import { SMALL_GRAPH, smallSetup } from '#tests/line/small-line.ts';

const LEVEL = 's.cleaner.level';

/** The small line with a bin in the cleaner's place; what runs out of it is weighed behind the table. */
const GRAPH: LineGraph = {
  ...SMALL_GRAPH,
  machines: SMALL_GRAPH.machines.map((machine) =>
    machine.id === 'cleaner' ? { ...machine, kind: 'bin', contentsTag: LEVEL } : machine,
  ),
};
const NOTHING = [0, 0, 0, 0, 0];

function seen(...readings: readonly Reading[]) {
  const latest = new Map(readings.map((each) => [each.tag, each]));
  return { setup: smallSetup(GRAPH), frame: { endMs: 1000, tickMs: 250, readings: [], latest } };
}

const level = (kg: number) => reading(LEVEL, 900, kg);
const outflow = (kgPerH: number) => reading('s.table.clean-flow', 900, kgPerH);

describe('binWaysThrough', () => {
  it('is contents over outflow: 300 kg at 9,000 kg/h lie for two minutes, by hand', () => {
    expect(binWaysThrough(seen(level(300), outflow(9000))).slice(0, 4)).toEqual([0, 0, 120_000, 120_000]);
  });

  it.each([
    ['contents were never read', [outflow(9000)]],
    ['contents are bad', [badReading(LEVEL, 900), outflow(9000)]],
    ['the outflow was never read', [level(300)]],
    ['the bin stands', [level(300), outflow(20)]],
  ] as const)('leaves the configured transport alone while %s', (_, readings) => {
    expect(binWaysThrough(seen(...readings))).toEqual(NOTHING);
  });

  it('takes a level that drifts below zero as an empty bin', () => {
    expect(binWaysThrough(seen(level(-3), outflow(9000)))).toEqual(NOTHING);
  });
});

describe('waysThrough', () => {
  it('leaves the bin out: a balance has what gathers in it beside the flows', () => {
    // 10 s to the cleaner's outlet and 20 s to the clean scale, as configured.
    expect(waysThrough(seen(level(300), outflow(9000))).slice(0, 4)).toEqual([0, 0, 10_000, 30_000]);
  });
});
