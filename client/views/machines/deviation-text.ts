import type { ResidualKind } from '../../../server/contract/machine-health.ts';
import { numberText } from '../../../server/contract/format/number-text.ts';
import type { Reader } from '../../../server/contract/format/quantity-text.ts';
import type { UnitCode } from '../../../server/contract/unit-code.ts';
import { amountText } from '../figure/amount-text.ts';

export interface Deviation {
  readonly residual: ResidualKind;
  readonly unit: UnitCode;
}

/** "+4.2 %" of what is expected, or "+3.1 °C" from it. */
export function deviationLevelText(level: number, { residual, unit }: Deviation, reader: Reader): string {
  const sign = level > 0 ? '+' : level < 0 ? '−' : '';
  if (residual === 'ratio')
    return `${sign}${numberText(Math.abs(level) * 100, 1, reader.words.decimalMark)}\u00a0%`;
  return `${sign}${amountText({ value: level, unit }, reader)}`;
}
