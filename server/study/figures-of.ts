import type { PlantConfig } from '../config/plant-config.ts';
import type { FigureDescription } from '../contract/figure-message.ts';
import { lineSetup } from '../line/line-setup.ts';

/** The figures that the lines of a configuration have. */
export function figuresOf({ lines, settings, crops, tags }: PlantConfig): readonly FigureDescription[] {
  return lines.flatMap((graph) => {
    const own = settings.find(({ line }) => line === graph.id);
    if (own === undefined) return [];
    const { plans } = lineSetup({ graph, settings: own, crops, tags, endpointOf: new Map() });
    return plans.map(({ description }) => description);
  });
}
