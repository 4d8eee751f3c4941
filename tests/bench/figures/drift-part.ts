import type { BenchLine } from './bench-line.ts';
import { runLine } from './line-run.ts';
import { isNamed, namingsIn } from './namings.ts';
import { BAGGED } from '#tests/support/plant-truth.ts';
import type { BalanceReport } from '#server/contract/balance-report.ts';
import { CLEAN, FEED, WHEEL } from './nodes.ts';
import { runOf, shiftTruth } from './runs.ts';

export interface DriftResult {
  readonly scale: string;
  /** Minutes from the step until the right instrument or its group was named; null where it was not within 30. */
  readonly namedAfterMinutes: number | null;
  /** It was named before anything was wrong. */
  readonly namedBefore: number;
  readonly verdict: string;
}

const SCALES = [FEED, WHEEL, CLEAN, BAGGED];
const STEP = 0.02;
const WITHIN_S = 30 * 60;
/** Well before the step, so that the balance has its window and its baseline. */
const BEFORE_S = 90 * 60;

/** A step of 2 % of the span of one scale in steady flow; the scales and both directions take turns. */
export function driftResult(line: BenchLine, index: number): DriftResult {
  const truth = shiftTruth(index);
  const scale = SCALES[index % SCALES.length] ?? FEED;
  const share = Math.floor(index / SCALES.length) % 2 === 0 ? STEP : -STEP;
  const fromS = 3600 + 60 * (index % 60);
  const stepS = fromS + BEFORE_S;
  const tags = line.addresses
    .filter(({ node }) => node === scale || node === TOTALS.get(scale))
    .map(({ tag }) => tag);
  const run = runOf(truth, 5000 + index, {
    fromS,
    seconds: BEFORE_S + WITHIN_S,
    spanStep: { node: scale, fromS: stepS, share },
  });
  const before: BalanceReport[] = [];
  let namedAfterMinutes: number | null = null;
  let verdict = 'none';
  runLine(line, run, ({ balance }, endS) => {
    if (balance === null) return;
    verdict = `${balance.verdict} ${balance.suspects.map(({ tag }) => tag).join(' ')}`;
    if (endS <= stepS) before.push(balance);
    else if (isNamed(balance, tags)) namedAfterMinutes ??= (endS - stepS) / 60;
  });
  return { scale, namedAfterMinutes, namedBefore: namingsIn(before), verdict };
}

const TOTALS: ReadonlyMap<string, string> = new Map([
  [FEED, 'Intake.MassTotal'],
  [CLEAN, 'Clean.MassTotal'],
  [WHEEL, 'Treater.SeedTotal'],
]);
