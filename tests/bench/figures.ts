/**
 * How right the figures of the line are, against what really flowed in the simulator, and what a tick costs.
 * `--small` takes a minute and measures a few of each; what it does not measure in full is null in the last line.
 */
import { parseArgs } from 'node:util';
import { inParallel } from './figures/in-parallel.ts';
import type { Job } from './figures/jobs.ts';
import { sayReport } from './figures/report.ts';
import { FULL, SMALL, type Sizes } from './figures/sizes.ts';
import { tickCost, type TickCost } from './figures/tick-cost.ts';
import { tidiedCache } from './figures/truth-cache.ts';

const { values } = parseArgs({ options: { small: { type: 'boolean', default: false } } });
const sizes = values.small ? SMALL : FULL;
const startedMs = performance.now();
const cache = tidiedCache();
const answers = await inParallel(jobsOf(sizes));
const costs: TickCost[] = [];
// After the threads have ended: a tick is measured on a core that nothing else of ours is using.
for (const lines of sizes.tickLines) costs.push(await tickCost(lines));
sayReport({ sizes, answers, costs, cache, tookS: (performance.now() - startedMs) / 1000 });

/** The long ones first, so that no thread is left alone with one in the end. */
function jobsOf(asked: Sizes): readonly Job[] {
  const lots = numbers(asked.lots);
  const drawn = numbers(asked.shifts).map((index): Job => ({
    part: 'lot',
    profile: 'full',
    index,
    draw: index,
  }));
  const perfect = lots.map((index): Job => ({ part: 'lot', profile: 'full', index, draw: null }));
  const poorer = numbers(asked.poorer).flatMap((index) =>
    (['typical', 'poor'] as const).flatMap((profile): readonly Job[] => [
      { part: 'lot', profile, index, draw: null },
      { part: 'lot', profile, index, draw: index },
    ]),
  );
  const steps = numbers(asked.steps).flatMap((index): readonly Job[] => [
    { part: 'steps', profile: 'full', index, draw: null },
    { part: 'steps', profile: 'full', index, draw: 3000 + index },
  ]);
  const coverage = numbers(asked.coveredTruths).map((index): Job => {
    const draws = numbers(asked.drawsPerTruth).map((draw) => 1000 + index * asked.drawsPerTruth + draw);
    return { part: 'coverage', index, draws };
  });
  const drifts = numbers(asked.drifts).map((index): Job => ({ part: 'drift', index }));
  const lags = numbers(asked.lags).map((index): Job => ({ part: 'lag', index }));
  return [...coverage, ...drawn, ...perfect, ...poorer, ...steps, ...drifts, ...lags];
}

function numbers(count: number): readonly number[] {
  return Array.from({ length: count }, (_, index) => index);
}
