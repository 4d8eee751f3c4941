import type { SeriesDefinition, ThinnedColumns } from '#server/ports/sample-store.ts';

/** One sample as a person would write it down. */
export interface PlainSample {
  readonly timeMs: number;
  readonly value: number;
  readonly status: number;
  readonly reason: number;
}

export type Rule = Pick<SeriesDefinition, 'interpolation' | 'heldMs'> & {
  /** The definition ends here; its values are not carried on. */
  readonly endsMs: number;
};

type Bucket = {
  readonly [Column in Exclude<keyof ThinnedColumns, 'series' | 'endMs'>]: number;
};

/**
 * A bucket by the port's own words, sample by sample and bucket by bucket, without any of the store's ideas:
 * slow, and the measure for everything that is quick.
 */
export function naiveBucket(
  samples: readonly PlainSample[],
  ruleAt: (timeMs: number) => Rule,
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
): Bucket {
  const inside = samples.filter(
    (sample) => isKnown(sample) && sample.timeMs >= fromMs && sample.timeMs < toMs,
  );
  const values = inside.map(({ value }) => value);
  const { integral, coveredMs, uncertainMs } = naiveIntegral(samples, ruleAt, { fromMs, toMs });
  return {
    timeMs: fromMs,
    first: values[0] ?? NaN,
    last: values.at(-1) ?? NaN,
    min: values.length === 0 ? NaN : Math.min(...values),
    max: values.length === 0 ? NaN : Math.max(...values),
    mean: coveredMs > 0 ? integral / coveredMs : NaN,
    count: values.length,
    coveredRatio: coveredMs / (toMs - fromMs),
    uncertainRatio: uncertainMs / (toMs - fromMs),
  };
}

/** Value times milliseconds over the part of the window in which the value was known, or was only uncertain. */
export function naiveIntegral(
  samples: readonly PlainSample[],
  ruleAt: (timeMs: number) => Rule,
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
): { readonly integral: number; readonly coveredMs: number; readonly uncertainMs: number } {
  let integral = 0;
  let uncertainMs = 0;
  let coveredMs = 0;
  for (const [i, sample] of samples.entries()) {
    if (!isKnown(sample)) continue;
    const next = samples[i + 1];
    const rule = ruleAt(sample.timeMs);
    const endMs = Math.min(next?.timeMs ?? Infinity, sample.timeMs + (rule.heldMs ?? Infinity), rule.endsMs);
    const a = Math.max(sample.timeMs, fromMs);
    const b = Math.min(endMs, toMs);
    if (a >= b) continue;
    const valueAt = valueFrom(sample, next, { rule, endMs });
    integral += ((valueAt(a) + valueAt(b)) / 2) * (b - a);
    coveredMs += b - a;
    if (sample.status === 1) uncertainMs += b - a;
  }
  return { integral, coveredMs, uncertainMs };
}

/** Good or uncertain, with a value. */
function isKnown({ status, value }: PlainSample): boolean {
  return status <= 1 && !Number.isNaN(value);
}

/** Straight to the next sample where the rule says so and it is reached; else held. */
function valueFrom(
  sample: PlainSample,
  next: PlainSample | undefined,
  { rule, endMs }: { readonly rule: Rule; readonly endMs: number },
): (timeMs: number) => number {
  const isReached = next !== undefined && endMs === next.timeMs && next.timeMs < rule.endsMs;
  if (!isReached || !isKnown(next) || rule.interpolation === 'step') return () => sample.value;
  const slope = (next.value - sample.value) / (next.timeMs - sample.timeMs);
  return (timeMs) => sample.value + slope * (timeMs - sample.timeMs);
}
