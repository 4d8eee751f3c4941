import type { UnitCode } from '../../../server/contract/unit-code.ts';
import type { Arrangement } from './trend-link.ts';

/** Which series share a pane: none, or all of one unit. */
export function paneGroups(
  series: readonly string[],
  arrangement: Arrangement,
  unitOf: (id: string) => UnitCode,
): readonly (readonly string[])[] {
  if (arrangement === 'lanes') return series.map((id) => [id]);
  const groups = new Map<UnitCode, string[]>();
  for (const id of series) {
    const unit = unitOf(id);
    groups.set(unit, [...(groups.get(unit) ?? []), id]);
  }
  return [...groups.values()];
}
