import type { InputRole, ProvenanceInput } from '../contract/figure-provenance.ts';
import type { UnitCode } from '../contract/unit-code.ts';
import { uncertaintyOf, type Estimate } from './estimate.ts';

/** What a figure rests on that no tag measured: a hand sample, a recipe, a price. */
export function givenInput(
  named: {
    readonly role: InputRole;
    readonly stream: string | null;
    readonly unit: UnitCode;
    readonly takenMs: number | null;
  },
  estimate: Estimate,
): ProvenanceInput {
  const { role, stream, unit, takenMs } = named;
  const value = tracedValue(estimate);
  return {
    role,
    tag: null,
    stream,
    unit,
    ...value,
    fromMs: null,
    toMs: null,
    newestMs: takenMs,
    error: null,
  };
}

/** How an estimate stands in the answer to "why is this number what it is?". */
function tracedValue(estimate: Estimate) {
  if (!estimate.known) {
    const { because } = estimate;
    return { value: null, because, quality: 'bad', coveredRatio: null, uncertainty: null } as const;
  }
  const { value, quality, coveredRatio } = estimate;
  return { value, because: null, quality, coveredRatio, uncertainty: uncertaintyOf(estimate) } as const;
}
