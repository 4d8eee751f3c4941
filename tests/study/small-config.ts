import type { PlantConfig } from '#server/config/plant-config.ts';
import { SMALL_GRAPH, smallSetup } from '#tests/line/small-line.ts';
import { BARE_CONFIG } from './bare-config.ts';

const { settings, crops, tracked } = smallSetup();

/** The small line with its rules. */
export const SMALL_CONFIG: PlantConfig = {
  ...BARE_CONFIG,
  crops,
  lines: [SMALL_GRAPH],
  settings: [settings],
  tags: [...tracked.values()],
};
