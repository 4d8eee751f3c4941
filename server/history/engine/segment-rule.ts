import type { StoredSeries } from '../../ports/sample-store.ts';

/** How the value runs on from a sample, by the definition in force at the sample's time. */
export interface SegmentRule {
  readonly isLinear: boolean;
  /** Infinity where the definition says null. */
  readonly heldMs: number;
  /** The sample's definition holds in `[startsMs, endsMs)`; a value is not carried into the next one. */
  readonly startsMs: number;
  readonly endsMs: number;
}

/** Ascending and without a gap: the first definition also covers all that was before it. */
export function segmentRules(definitions: readonly StoredSeries[]): readonly SegmentRule[] {
  return definitions.map((definition, i) => ({
    isLinear: definition.interpolation === 'linear',
    heldMs: definition.heldMs ?? Infinity,
    startsMs: i === 0 ? -Infinity : definition.validFromMs,
    endsMs: definition.validToMs ?? Infinity,
  }));
}

export function ruleAt(rules: readonly SegmentRule[], timeMs: number): SegmentRule {
  for (let i = rules.length - 1; i > 0; i--) {
    const rule = rules[i];
    if (rule !== undefined && timeMs >= rule.startsMs) return rule;
  }
  const [first] = rules;
  if (first === undefined) throw new RangeError('a series without a definition');
  return first;
}

/** How far a known value runs from its sample when the next sample is at `nextMs`. */
export function runEnd(rule: SegmentRule, fromMs: number, nextMs: number): number {
  return Math.min(nextMs, fromMs + rule.heldMs, rule.endsMs);
}

/** Whether the value runs straight to the next sample, rather than being held. */
export function isStraight(
  rule: SegmentRule,
  endMs: number,
  next: { readonly timeMs: number; readonly value: number },
): boolean {
  return rule.isLinear && endMs === next.timeMs && endMs < rule.endsMs && !Number.isNaN(next.value);
}
