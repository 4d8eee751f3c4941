import type { Counter } from '../calc/total-from-counter.ts';
import { kilograms, kilogramsPerHour } from '../calc/units.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { LineSettings } from '../contract/line-settings.ts';
import type { Crop } from '../contract/plant-description.ts';
import type { TagDescription } from '../contract/tag-description.ts';
import { balanceNetwork, type BalanceNetwork } from './balance-network.ts';
import { figurePlans, type FigurePlan } from './figure-plans.ts';
import { lineLayout, type LineLayout } from './line-layout.ts';

/** Everything about a line that stays the same while the configuration stays the same. */
export interface LineSetup {
  readonly graph: LineGraph;
  readonly layout: LineLayout;
  readonly settings: LineSettings;
  readonly crops: readonly Crop[];
  readonly network: BalanceNetwork;
  readonly plans: readonly FigurePlan[];
  /** Tags of tanks on a scale: what they lose is remembered, through refills. */
  readonly tanks: ReadonlySet<string>;
  /** Totalisers of streams: their increases are remembered. */
  readonly counters: ReadonlyMap<string, Counter>;
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

/** The window of the balance twice: the one asked for and room for late answers. */
const WINDOWS_MS = 40 * 60_000;
/** Where a totaliser begins again, if its range does not say. */
const ROLLS_OVER_AT_KG = 1_000_000;
/** The fastest that seed can flow, if no range says: it tells a counter that turned from one that was reset. */
const MAX_KG_PER_H = 100_000;

export function lineSetup(parts: LineParts): LineSetup {
  const layout = lineLayout(parts.graph);
  const network = balanceNetwork(parts.graph, layout);
  const plans = figurePlans({ ...parts, layout, network });
  const wayMs = layout.path.reduce((sum, { transportMs }) => sum + transportMs, 0);
  const tanks = new Set(layout.liquids.flatMap(({ liquid }) => tagsOf(liquid?.tankMassTag)));
  return {
    ...parts,
    layout,
    network,
    plans,
    tanks,
    counters: countersOf(parts, layout),
    tracked: trackedTags(parts, plans),
    horizonMs: WINDOWS_MS + wayMs,
  };
}

/** Every tag that a figure rests on, and those that only say how gates stand. */
function trackedTags(parts: LineParts, plans: readonly FigurePlan[]): ReadonlyMap<string, TagDescription> {
  const wanted = new Set(plans.flatMap(({ description }) => description.sources));
  const machines = parts.graph.machines.flatMap(({ bypassedTag, contentsTag }) => [
    ...tagsOf(bypassedTag),
    ...tagsOf(contentsTag),
  ]);
  for (const tag of machines) wanted.add(tag);
  return new Map(parts.tags.filter(({ id }) => wanted.has(id)).map((tag) => [tag.id, tag]));
}

/** The totalisers of the streams, with what is known of each. */
function countersOf(parts: LineParts, { path, rejects }: LineLayout): ReadonlyMap<string, Counter> {
  const tagOf = (id: string | null) => parts.tags.find((tag) => tag.id === id);
  const streams = [...path, ...rejects.map(({ stream }) => stream)];
  return new Map(
    streams.flatMap(({ massTotalTag, massFlowTag }) => {
      const total = tagOf(massTotalTag);
      if (massTotalTag === null || total === undefined) return [];
      const rollsOverAt = kilograms(total.rangeHigh ?? ROLLS_OVER_AT_KG);
      const maxRate = kilogramsPerHour(tagOf(massFlowTag)?.rangeHigh ?? MAX_KG_PER_H);
      const step = kilograms(Math.max(total.resolution, massFlowTag === null ? BAG_KG : LEAST_STEP_KG));
      return [[massTotalTag, { rollsOverAt, maxRate, step }] as const];
    }),
  );
}

/** A counter without a stated resolution still moves in steps of something. */
const LEAST_STEP_KG = 1;
/** A totaliser that no scale stands behind counts bags: no sack that a person can move is heavier. */
const BAG_KG = 60;

function tagsOf(tag: string | null | undefined): readonly string[] {
  return tag == null ? [] : [tag];
}
