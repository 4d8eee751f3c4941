import { pumpSetMlPerMin } from '../move-seed.ts';
import { BAG_KG } from '../physics/bagger.ts';
import { massOf, waterIn } from '../physics/parcel.ts';
import type { Separator } from '../physics/separators/separator.ts';
import { PRODUCTS } from '../physics/treating-train.ts';
import type { Plant } from '../plant-state.ts';
import type { Signal } from './signal.ts';

/** Bags stood at this when the watching began. */
const START_BAGS = 13_172;
const START_REJECTED = 41;
/** The intake hopper is filled by lorry whenever it is low; its level only shows that. */
const HOPPER_KG = 40_000;
const HOPPER_LOAD_KG = 24_000;

/** Flows, levels and counts. */
export function massSignals(plant: Plant): Signal[] {
  const { flow, treating, bagger } = plant;
  const perHour = 3_600_000 / plant.options.stepMs;
  return [
    ['Intake.MassFlow', () => flow.feedKg * perHour],
    ['Intake.Moisture', () => plant.feed.moisture() * 100],
    ['Intake.HopperLevel', () => hopperPercent(flow.feedTotalKg)],
    ['Intake.FeedGate', () => plant.feed.gatePercent()],
    ['Intake.FeedSet', () => plant.crop.settings.feedKgPerH],
    ['Clean.MassFlow', () => flow.cleanKg * perHour],
    ['Clean.Moisture', () => cleanMoisturePercent(plant)],
    ['CleanBin.Level', () => treating.cleanBin.contentsKg()],
    ['Treater.SeedFlow', () => treating.seedKg * perHour],
    ...rejectSignals(plant),
    ...productSignals(plant),
    ['Bagger.HopperLevel', () => treating.hopper.contentsKg()],
    ['Bagger.BagSet', () => BAG_KG],
    ['Bagger.BagMass', () => bagger.lastBagKg],
    ['Bagger.BagCount', () => START_BAGS + bagger.bags],
    ['Bagger.RejectedCount', () => START_REJECTED + bagger.rejected],
  ];
}

const REJECT_NODES: readonly (readonly [Separator, string])[] = [
  ['Scalper', 'Scalper.OversFlow'],
  ['AirScreen', 'AirScreen.ScreeningsFlow'],
  ['Aspirator', 'Aspirator.LiftingsFlow'],
  ['LengthGrader', 'LengthGrader.ShortsFlow'],
  ['Sizer', 'Sizer.OffSizeFlow'],
  ['Destoner', 'Destoner.StonesFlow'],
  ['GravityTable', 'GravityTable.LightsFlow'],
  ['Spiral', 'Spiral.OffRoundFlow'],
  ['ColourSorter', 'ColourSorter.OffColourFlow'],
];

function rejectSignals({ cleaning, population, options }: Plant): Signal[] {
  const perHour = 3_600_000 / options.stepMs;
  const rejects = REJECT_NODES.map(
    ([separator, node]) =>
      [node, () => massOf(population.layout, cleaning.taken[separator]) * perHour] as const,
  );
  return [
    ...rejects,
    ['GravityTable.MiddlingsFlow', () => massOf(population.layout, cleaning.middlings) * perHour],
  ];
}

function productSignals(plant: Plant): Signal[] {
  const { pumpsMlPerMin, tanksKg } = plant.treating;
  return [
    ['Treater.PumpASet', () => pumpSetMlPerMin(plant, 0)],
    ['Treater.PumpBSet', () => pumpSetMlPerMin(plant, 1)],
    ['Treater.PumpCSet', () => pumpSetMlPerMin(plant, 2)],
    ['Treater.PumpAFlow', () => pumpsMlPerMin[0]],
    ['Treater.PumpBFlow', () => pumpsMlPerMin[1]],
    ['Treater.PumpCFlow', () => pumpsMlPerMin[2]],
    ['Treater.TankAMass', () => tanksKg[0]],
    ['Treater.TankBMass', () => tanksKg[1]],
    ['Treater.TankCMass', () => tanksKg[2]],
    ['Treater.TankMass', () => tanksKg[0] + tanksKg[1] + tanksKg[2]],
    ['Treater.SlurryDensity', () => slurryDensity(pumpsMlPerMin)],
  ];
}

/** The meter on the clean scale keeps its last value while nothing comes past. */
function cleanMoisturePercent({ flow, population }: Plant): number {
  if (flow.cleanKg > LEAST_CLEAN_KG)
    flow.cleanMoisture = waterIn(population.layout, flow.clean) / flow.cleanKg;
  return flow.cleanMoisture * 100;
}

const LEAST_CLEAN_KG = 0.01;

/** Density of the products together, ideal volumes (handbook 2.2); the meter's pipe stays full when nothing flows. */
function slurryDensity(flows: readonly [number, number, number]): number {
  const all = flows[0] + flows[1] + flows[2];
  if (all <= 0) return PRODUCTS[0].densityGPerMl;
  return PRODUCTS.reduce((sum, product, i) => sum + (product.densityGPerMl * (flows[i] ?? 0)) / all, 0);
}

function hopperPercent(fedKg: number): number {
  return (100 * (HOPPER_KG - 2000 - (fedKg % HOPPER_LOAD_KG))) / HOPPER_KG;
}
