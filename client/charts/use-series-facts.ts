import { useCallback, useMemo } from 'react';
import type { UnitCode } from '../../server/contract/unit-code.ts';
import { useApp } from '../live/app-context.ts';

/** Finds the unit of a tag or figure; a series that the plant does not have counts as a plain ratio. */
export function useUnitOf(): (id: string) => UnitCode {
  const { plant } = useApp();
  const units = useMemo(
    () => new Map([...plant.figures, ...plant.tags].map(({ id, unit }) => [id, unit])),
    [plant],
  );
  return useCallback((id) => units.get(id) ?? '1', [units]);
}

/** Finds whether a series holds its value between readings; figures are linear. */
export function useInterpolationOf(): (id: string) => 'step' | 'linear' {
  const { plant } = useApp();
  const steps = useMemo(
    () => new Set(plant.tags.filter(({ interpolation }) => interpolation === 'step').map(({ id }) => id)),
    [plant],
  );
  return useCallback((id) => (steps.has(id) ? 'step' : 'linear'), [steps]);
}
