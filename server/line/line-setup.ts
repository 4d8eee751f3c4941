import type { FigureDescription } from '../contract/figure-message.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { LineSettings } from '../contract/line-settings.ts';
import type { Crop } from '../contract/plant-description.ts';
import type { TagDescription } from '../contract/tag-description.ts';
import { figurePlans, type FigurePlan } from './figure-plans.ts';
import { lineLayout, type LineLayout } from './line-layout.ts';

/** Everything about a line that stays the same while the configuration stays the same. */
export interface LineSetup {
  readonly graph: LineGraph;
  readonly layout: LineLayout;
  readonly settings: LineSettings;
  readonly crops: readonly Crop[];
  readonly plans: readonly FigurePlan[];
  /** The tags that the figures rest on: only these are remembered here. */
  readonly tracked: ReadonlyMap<string, TagDescription>;
  readonly endpointOf: ReadonlyMap<string, string>;
  /** How far back the figures look: the longest window and the whole way through the line. */
  readonly horizonMs: number;
}

export interface LineParts {
  readonly graph: LineGraph;
  readonly settings: LineSettings;
  readonly crops: readonly Crop[];
  readonly tags: readonly TagDescription[];
  readonly endpointOf: ReadonlyMap<string, string>;
}

/** Two ten-minute windows: the one asked for and room for late answers. */
const WINDOWS_MS = 20 * 60_000;

export function lineSetup(parts: LineParts): LineSetup {
  const layout = lineLayout(parts.graph);
  const plans = figurePlans(parts.graph, layout);
  const wayMs = layout.path.reduce((sum, { transportMs }) => sum + transportMs, 0);
  return {
    ...parts,
    layout,
    plans,
    tracked: trackedTags(
      parts,
      plans.map(({ description }) => description),
    ),
    horizonMs: WINDOWS_MS + wayMs,
  };
}

function trackedTags(
  parts: LineParts,
  figures: readonly FigureDescription[],
): ReadonlyMap<string, TagDescription> {
  const wanted = new Set(figures.flatMap(({ sources }) => sources));
  return new Map(parts.tags.filter(({ id }) => wanted.has(id)).map((tag) => [tag.id, tag]));
}
