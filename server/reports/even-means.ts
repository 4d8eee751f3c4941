import type { AskedSeries } from '../ports/stretch-reports.ts';
import type { SampleStore, ThinnedColumns } from '../ports/sample-store.ts';

/** Means of one series over even steps of time; null where it was not known. */
export interface EvenMeans {
  readonly asked: AskedSeries;
  readonly timeMs: readonly number[];
  readonly mean: readonly (number | null)[];
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
  readonly first: number | null;
  readonly last: number | null;
  readonly coveredRatio: readonly number[];
}

export interface EvenStretch {
  readonly fromMs: number;
  readonly toMs: number;
  readonly stepMs: number;
}

/** Finer steps than this say nothing more about a process of minutes. */
const STEP_MS_MIN = 1000;
/** The most buckets that the store gives of one series. */
const STEPS_MAX = 20_000;
/** Below this covered share a step without a reading is a gap; above it, its value stood still. */
const HELD_RATIO = 0.5;

/** The finest even steps in which a stretch can be had. */
export function stepMsFor(spanMs: number): number {
  return Math.max(STEP_MS_MIN, Math.ceil(spanMs / STEPS_MAX));
}

/** Each series in steps of `stepMs`: what stood still between two readings counts as long as what moved. */
export async function evenMeans(
  samples: Pick<SampleStore, 'thinned'>,
  series: readonly AskedSeries[],
  { fromMs, toMs, stepMs, signal }: EvenStretch & { readonly signal: AbortSignal },
): Promise<readonly EvenMeans[]> {
  const buckets = Math.max(1, Math.ceil((toMs - fromMs) / stepMs));
  const ids = series.map((one) => one.series);
  const pieces: ThinnedColumns[] = [];
  for await (const piece of samples.thinned({ series: ids, fromMs, toMs, buckets }, signal))
    pieces.push(piece);
  return series.map((asked) =>
    meansOf(
      asked,
      pieces.filter((piece) => piece.series === asked.series),
    ),
  );
}

function meansOf(asked: AskedSeries, pieces: readonly ThinnedColumns[]): EvenMeans {
  const column = (key: 'first' | 'last' | 'mean' | 'min' | 'max') =>
    pieces.flatMap((piece) => Array.from(piece[key], (value) => (Number.isNaN(value) ? null : value)));
  const coveredRatio = pieces.flatMap((piece) => [...piece.coveredRatio]);
  const [first, last] = [column('first'), column('last')];
  const held = heldValues(last, coveredRatio);
  const filled = (values: readonly (number | null)[]) =>
    values.map((value, index) => value ?? held[index] ?? null);
  return {
    asked,
    timeMs: pieces.flatMap((piece) => [...piece.timeMs]),
    mean: filled(column('mean')),
    min: filled(column('min')),
    max: filled(column('max')),
    first: first.find((value) => value !== null) ?? null,
    last: last.findLast((value) => value !== null) ?? null,
    coveredRatio,
  };
}

/** For each step without a reading, the value that stood still in it; null where there was none. */
function heldValues(
  last: readonly (number | null)[],
  coveredRatio: readonly number[],
): readonly (number | null)[] {
  let before: number | null = null;
  return last.map((value, index): number | null => {
    if (value !== null) before = value;
    else if ((coveredRatio[index] ?? 0) <= HELD_RATIO) before = null;
    return value === null ? before : null;
  });
}
