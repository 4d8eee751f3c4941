import { fileURLToPath } from 'node:url';
import { loadConfig } from '#server/config/load-config.ts';
import type { LineGraph } from '#server/contract/line-graph.ts';
import { lineSetup, type LineSetup } from '#server/line/line-setup.ts';
import { catalogue } from '#simulator/catalogue.ts';
import type { Profile } from '#simulator/tags/tag-entry.ts';

/** The demo's line as a plant with these instruments would have configured it, and where its tags come from. */
export interface BenchLine {
  readonly profile: Profile;
  readonly setup: LineSetup;
  readonly addresses: readonly BenchAddress[];
}

export interface BenchAddress {
  readonly tag: string;
  /** As the simulator's catalogue calls it. */
  readonly node: string;
  /** From the plant's unit to ours. */
  readonly factor: number;
}

const DEMO = fileURLToPath(new URL('../../../config/plant.yaml', import.meta.url));

const PLATFORM = 'a.treater.tank-mass';

export async function benchLine(profile: Profile): Promise<BenchLine> {
  const config = await loadConfig(DEMO);
  const [graph] = config.lines;
  const [settings] = config.settings;
  if (graph === undefined || settings === undefined) throw new Error('the demo has no line');
  const nodes = new Set(catalogue(profile).map(({ node }) => node));
  const addresses = config.addresses
    .map(({ tag, node, factor }) => ({ tag, node: node.split(';s=').at(-1) ?? node, factor: factor ?? 1 }))
    .filter(({ node }) => nodes.has(node));
  const kept = new Set(addresses.map(({ tag }) => tag));
  const tags = config.tags.filter(({ id }) => kept.has(id));
  const setup = lineSetup({
    graph: withoutTags(profile === 'typical' ? withSlurry(graph) : graph, kept),
    settings,
    crops: config.crops,
    tags,
    endpointOf: new Map(tags.map(({ id }) => [id, 'plant'])),
  });
  return { profile, setup, addresses };
}

/** A plant with one platform scale under all its products sees one liquid, and knows each product by the recipe. */
function withSlurry(graph: LineGraph): LineGraph {
  const liquids = graph.streams.filter(({ role }) => role === 'liquid');
  const [first] = liquids;
  if (first?.liquid === undefined) return graph;
  const products = liquids.flatMap(({ liquid }) => liquid?.products ?? []);
  const liquid = { ...first.liquid, products, tankMassTag: PLATFORM };
  const slurry = { ...first, id: 'slurry', name: 'slurry', volumeFlowTag: null, liquid };
  return { ...graph, streams: [...graph.streams.filter(({ role }) => role !== 'liquid'), slurry] };
}

/** The graph of a plant that lacks these instruments: what names a tag that is not there names none. */
function withoutTags(graph: LineGraph, kept: ReadonlySet<string>): LineGraph {
  const lacking = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(lacking);
    if (typeof value !== 'object' || value === null) return value;
    return Object.fromEntries(
      Object.entries(value).map(([key, part]) => [
        key,
        key.endsWith('Tag') && typeof part === 'string' && !kept.has(part) ? null : lacking(part),
      ]),
    );
  };
  return lacking(graph) as LineGraph;
}
