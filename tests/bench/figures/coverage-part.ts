import type { LineStep } from '#server/line/step-line.ts';
import type { BenchLine } from './bench-line.ts';
import { figureTruth } from './figure-truth.ts';
import { runLine } from './line-run.ts';
import { runOf, shiftTruth } from './runs.ts';
import { seedTruth } from './seed-truth.ts';

/** One figure of one draw: whether its stated interval holds the truth, and how wide it is. */
export interface Covered {
  /** `<kind> <window>` */
  readonly what: string;
  readonly isCovered: boolean;
  /** Half-width over the true value. */
  readonly widthRatio: number;
}

const LOT_AFTER_S = 600;
/** A lot of two hours and more, so that totals are what they are for. */
const WATCHED_S = 8400;

/**
 * One draw of instruments over a stretch of a truth, asked at its end. The stretches lie where the draw says, so that
 * draws on one truth see different seed.
 */
export function coverageOfDraw(line: BenchLine, index: number, draw: number): readonly Covered[] {
  const truth = shiftTruth(index);
  const room = truth.plan.seconds - WATCHED_S;
  const fromS = Math.floor((((draw * 7919) % 997) / 997) * room);
  const lotFromS = fromS + LOT_AFTER_S;
  let last: LineStep | null = null;
  runLine(
    line,
    runOf(truth, draw, { fromS, seconds: WATCHED_S, tickS: 120, everyS: 5, lotFromS }),
    (step) => {
      last = step;
    },
  );
  return coveredIn(line, last, { index, atS: fromS + WATCHED_S, lotFromS });
}

function coveredIn(
  line: BenchLine,
  step: LineStep | null,
  { index, atS, lotFromS }: { readonly index: number; readonly atS: number; readonly lotFromS: number },
): readonly Covered[] {
  const truth = shiftTruth(index);
  const bushelKg = line.setup.crops.find(({ id }) => id === truth.plan.crop)?.bushelMassKg ?? NaN;
  const truthOf = figureTruth(line, seedTruth(truth), bushelKg);
  const descriptions = new Map(line.setup.plans.map(({ description }) => [description.id, description]));
  return (step?.figures ?? []).flatMap((figure): readonly Covered[] => {
    const description = descriptions.get(figure.id);
    const { value, uncertainty } = figure;
    if (description === undefined || value === null || uncertainty === null) return [];
    const real = truthOf(description, { atS, lotFromS });
    if (real === null) return [];
    return [
      {
        what: `${description.kind} ${description.window}`,
        isCovered: Math.abs(value - real) <= uncertainty,
        widthRatio: uncertainty / Math.abs(real),
      },
    ];
  });
}
