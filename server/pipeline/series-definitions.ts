import type { PlantConfig } from '../config/plant-config.ts';
import type { FigureDescription } from '../contract/figure-message.ts';
import type { SeriesDefinition } from '../ports/sample-store.ts';

/** A known figure is kept once a second: after five without one it was not being computed, and that is a gap. */
const FIGURE_HELD_MS = 5000;

/** What the store of samples is to know of each tag and figure. */
export function seriesDefinitions(
  config: PlantConfig,
  figures: readonly FigureDescription[],
): readonly SeriesDefinition[] {
  const tags = config.tags.map(({ id, unit, interpolation, resolution, staleAfterMs }) => ({
    name: id,
    kind: 'tag' as const,
    unit,
    interpolation,
    resolution,
    heldMs: staleAfterMs,
  }));
  return [...tags, ...figures.map(figureSeries)];
}

function figureSeries({ id, unit, resolution }: FigureDescription): SeriesDefinition {
  return { name: id, kind: 'figure', unit, interpolation: 'linear', resolution, heldMs: FIGURE_HELD_MS };
}
