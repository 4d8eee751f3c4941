import { fileURLToPath } from 'node:url';
import { loadConfig } from '#server/config/load-config.ts';
import type { CauseRow } from '#server/machines/likely-causes.ts';
import { watchedMachines, type WatchedMachine } from '#server/machines/watched-machine.ts';

/** How much of each machine is measured. */
export type SensorSet = 'everything' | 'contact-and-current';

export interface DemoMachines {
  readonly machines: readonly WatchedMachine[];
  readonly causes: readonly CauseRow[];
  /** The plant's own name of a tag. */
  readonly nodeOf: ReadonlyMap<string, string>;
  /** What turns the plant's unit into ours, by the plant's own name. */
  readonly factorOf: ReadonlyMap<string, number>;
}

const CONFIG = fileURLToPath(new URL('../../../config/plant.yaml', import.meta.url));

/** The machines of the demonstration as configured, with the tags of one sensor set. */
export async function demoMachines(set: SensorSet): Promise<DemoMachines> {
  const config = await loadConfig(CONFIG);
  const tags = config.tags.map(({ id }) => id);
  const isThere = (tag: string) =>
    tags.includes(tag) && (set === 'everything' || /running$|motor-current$|intake\.mass-flow$/.test(tag));
  if (config.machines === null) throw new Error('the demonstration names no file of machines');
  return {
    machines: watchedMachines(config.machines, isThere),
    causes: config.machines.causes.map((row) => ({
      ...row,
      supports: row.supports ?? {},
      leaves: row.leaves ?? [],
    })),
    nodeOf: new Map(config.addresses.map(({ tag, node }) => [tag, shortNode(node)])),
    factorOf: new Map(config.addresses.map(({ node, factor }) => [shortNode(node), factor ?? 1])),
  };
}

function shortNode(node: string): string {
  return node.replace(/^.*;s=/, '');
}
