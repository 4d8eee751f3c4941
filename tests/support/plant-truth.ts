import { contactValue, takeChanges } from '#simulator/logic/line-logic.ts';
import type { CropName } from '#simulator/physics/crops/crop.ts';
import type { Plant } from '#simulator/plant-state.ts';
import { buildPlant, stepPlant } from '#simulator/plant.ts';
import { signalsOf } from '#simulator/signals/signals.ts';
import { catalogue } from '#simulator/catalogue.ts';
import { createUpsetPlayer, beginUpset, pullLevers } from '#simulator/upsets/upset-player.ts';

/** A stretch of the simulated plant's life. The feed follows its set value but for these changes. */
export interface TruthPlan {
  readonly crop: CropName;
  readonly seed: number;
  readonly seconds: number;
  /** Run before time zero, so that the line is warm and full; 0 begins with an empty line. */
  readonly settleS: number;
  /** Shares more (or less) of the set feed; -1 closes the gate. */
  readonly feedSteps: readonly { readonly fromS: number; readonly toS: number; readonly share: number }[];
}

/** What really was at each instrument, second by second: the end of second i is at `(i + 1) * 1000` ms. */
export interface PlantTruth {
  readonly plan: TruthPlan;
  readonly columns: ReadonlyMap<string, Float32Array>;
  /** Contacts as they stood at time zero and as they changed. */
  readonly contacts: readonly { readonly node: string; readonly timeMs: number; readonly value: number }[];
}

const STEP_MS = 1000;
/** What the figures of a line rest on; drives, screens and the weather are left out. */
const RECORDED = /Flow$|Level$|Moisture|Tank.?Mass$|Bag(Mass|Count)$|RejectedCount$|SlurryDensity$/;
/** The bagger's totaliser counts what it bagged; it has no scale of its own that it adds up. */
export const BAGGED = 'Bagger.MassTotal';

/** Plays a plan in the simulator. The same plan gives the same truth. */
export function plantTruth(plan: TruthPlan): PlantTruth {
  const plant = buildPlant({
    seed: plan.seed,
    stepMs: STEP_MS,
    crop: plan.crop,
    run: 'one-run',
    settings: {},
    bypassed: undefined,
  });
  const step = steppedWithUpsets(plant, plan);
  plant.timeMs = -plan.settleS * 1000;
  while (plant.timeMs < 0) step();
  takeChanges(plant.logic);
  const contacts = standingContacts(plant);
  const sources = recordedSignals(plant).map(([node, read]) => ({
    node,
    read,
    column: new Float32Array(plan.seconds),
  }));
  for (let second = 0; second < plan.seconds; second += 1) {
    step();
    for (const { column, read } of sources) column[second] = read();
    contacts.push(...takeChanges(plant.logic).map((change) => ({ ...change, value: Number(change.value) })));
  }
  return { plan, columns: new Map(sources.map(({ node, column }) => [node, column])), contacts };
}

function recordedSignals(plant: Plant): readonly (readonly [string, () => number])[] {
  const recorded = [...signalsOf(plant)].filter(([node]) => RECORDED.test(node));
  return [...recorded, [BAGGED, () => plant.bagger.baggedKg]];
}

function standingContacts(plant: Plant) {
  return catalogue('full')
    .filter(({ kind }) => kind === 'contact')
    .map(({ node }) => ({ node, timeMs: 0, value: Number(contactValue(plant.logic, node)) }));
}

function steppedWithUpsets(plant: Plant, plan: TruthPlan): () => void {
  const player = createUpsetPlayer(plant.levers, plant.logic);
  plan.feedSteps.forEach(({ fromS, toS, share }, index) => {
    const change = { lever: 'feed-surge', target: '', afterS: 0, rampS: 0, flutter: 0 };
    const changes = [{ ...change, size: share, lastsS: toS - fromS }];
    const name = `step ${index + 1}`;
    beginUpset(player, { name, title: name, about: name, seed: 1, changes }, fromS * 1000);
  });
  return () => {
    pullLevers(player, plant.timeMs);
    stepPlant(plant);
  };
}
