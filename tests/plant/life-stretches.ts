import { fileURLToPath } from 'node:url';
import { loadConfig } from '#server/config/load-config.ts';
import { GLIMPSE_MS, type RecordedStretch, type RecordedTag } from '#server/condition/recorded-stretch.ts';
import { watchedMachines, type WatchedMachine } from '#server/machines/watched-machine.ts';
import type { MachineSettings } from '#server/contract/machine-settings.ts';
import type { Decline } from '#simulator/life/decline.ts';
import { driveLife } from '#simulator/life/drive-life.ts';

export const DAY_MS = 86_400_000;
/** The simulated life begins here. */
export const LIFE_START_MS = Date.UTC(2026, 8, 1);

export interface DemoCondition {
  readonly settings: MachineSettings;
  readonly machines: readonly WatchedMachine[];
  readonly nodeOf: ReadonlyMap<string, string>;
}

export async function demoCondition(): Promise<DemoCondition> {
  const config = await loadConfig(fileURLToPath(new URL('../../config/plant.yaml', import.meta.url)));
  const { machines: settings } = config;
  if (settings === null) throw new Error('the demonstration names no file of machines');
  const tags = new Set(config.tags.map(({ id }) => id));
  return {
    settings,
    machines: watchedMachines(settings, (tag) => tags.has(tag)),
    nodeOf: new Map(config.addresses.map(({ tag, node }) => [tag, node.replace(/^.*;s=/, '')])),
  };
}

/** A life as history would give it back, a day a stretch; one crop, so that few days teach enough. */
export function lifeStretches(
  demo: DemoCondition,
  asked: { readonly seed: number; readonly days: number; readonly declines: readonly Decline[] },
): readonly RecordedStretch[] {
  const life = driveLife({ seed: asked.seed, stepS: 60, declines: asked.declines });
  const named = namedTags(demo);
  const indexOf = new Map(life.tags.map(({ node }, index) => [node, index]));
  return Array.from({ length: asked.days }, (_, day) => {
    const fromMs = LIFE_START_MS + day * DAY_MS;
    const columns = new Map([...named].map((tag) => [tag, emptyColumn(fromMs)] as const));
    const crops: { fromMs: number; group: string }[] = [];
    for (let bucket = 0; bucket < DAY_MS / GLIMPSE_MS; bucket += 1) {
      life.step();
      life.step();
      crops.push({ fromMs: fromMs + bucket * GLIMPSE_MS, group: life.crop() });
      for (const [tag, column] of columns) {
        const index = indexOf.get(demo.nodeOf.get(tag) ?? '');
        column.mean[bucket] = tag.endsWith('running')
          ? Number(life.isOn())
          : index === undefined
            ? NaN
            : (life.values[index] ?? NaN);
      }
    }
    return { fromMs, toMs: fromMs + DAY_MS, tags: columns, settings: new Map([['a', crops]]) };
  });
}

function namedTags({ machines }: DemoCondition): ReadonlySet<string> {
  return new Set(
    machines.flatMap(({ tags, influences, runningTag }) => [
      runningTag,
      ...tags.values(),
      ...influences.values(),
    ]),
  );
}

function emptyColumn(fromMs: number): RecordedTag {
  const buckets = DAY_MS / GLIMPSE_MS;
  return {
    timeMs: Float64Array.from({ length: buckets }, (_, bucket) => fromMs + bucket * GLIMPSE_MS),
    mean: new Float64Array(buckets),
    coveredRatio: new Float64Array(buckets).fill(1),
  };
}
