import type { DriveState } from './drives/drive.ts';
import type { DriveId } from './logic/sequence.ts';
import { PRODUCTS } from './physics/treating-train.ts';
import type { Plant } from './plant.ts';
import { TOTAL_ROLLOVER_KG } from './tags/process-tags.ts';

/** What really is, at the place where each analog or counter instrument sits. Contacts come from the logic. */
export type Signals = ReadonlyMap<string, () => number>;

export function signalsOf(plant: Plant): Signals {
  return new Map<string, () => number>([
    ...massSignals(plant),
    ...treatingSignals(plant),
    ...driveSignals(plant),
  ]);
}

type Entry = readonly [string, () => number];

/** Counters of the scales stand somewhere when the watching begins. */
const START_KG = { intake: 412_380, clean: 355_120, seed: 301_440, bagger: 298_760 };
const START_BAGS = 13_172;

function massSignals(plant: Plant): Entry[] {
  const { flow } = plant;
  const perHour = 3_600_000 / plant.options.stepMs;
  const total = (start: number, kg: number) => (start + kg) % TOTAL_ROLLOVER_KG;
  return [
    ['Intake.MassFlow', () => flow.feedKg * perHour],
    ['Intake.MassTotal', () => total(START_KG.intake, flow.feedTotalKg)],
    ['Intake.Moisture', () => plant.feed.moisture() * 100],
    ['Intake.FeedGate', () => plant.feed.gatePercent()],
    ['Clean.MassFlow', () => flow.cleanKg * perHour],
    ['Clean.MassTotal', () => total(START_KG.clean, flow.cleanTotalKg)],
    ['CleanBin.Level', () => plant.treating.cleanBin.contentsKg()],
    ['Scalper.OversFlow', () => flow.takenKg.Scalper * perHour],
    ['AirScreen.ScreeningsFlow', () => flow.takenKg.AirScreen * perHour],
    ['Aspirator.LiftingsFlow', () => flow.takenKg.Aspirator * perHour],
    ['LengthGrader.ShortsFlow', () => flow.takenKg.LengthGrader * perHour],
    ['Sizer.OffSizeFlow', () => flow.takenKg.Sizer * perHour],
    ['Destoner.StonesFlow', () => flow.takenKg.Destoner * perHour],
    ['GravityTable.LightsFlow', () => flow.takenKg.GravityTable * perHour],
  ];
}

function treatingSignals(plant: Plant): Entry[] {
  const { treating, bagger, flow } = plant;
  const perHour = 3_600_000 / plant.options.stepMs;
  const pumped = () => treating.pumpsMlPerMin[0] + treating.pumpsMlPerMin[1] + treating.pumpsMlPerMin[2];
  return [
    ['Treater.SeedFlow', () => treating.seedKg * perHour],
    ['Treater.SeedTotal', () => (START_KG.seed + flow.seedTotalKg) % TOTAL_ROLLOVER_KG],
    ['Treater.PumpAFlow', () => treating.pumpsMlPerMin[0]],
    ['Treater.PumpBFlow', () => treating.pumpsMlPerMin[1]],
    ['Treater.PumpCFlow', () => treating.pumpsMlPerMin[2]],
    ['Treater.TankAMass', () => treating.tanksKg[0]],
    ['Treater.TankBMass', () => treating.tanksKg[1]],
    ['Treater.TankCMass', () => treating.tanksKg[2]],
    ['Treater.TankMass', () => treating.tanksKg[0] + treating.tanksKg[1] + treating.tanksKg[2]],
    [
      'Treater.SlurryDensity',
      () =>
        pumped() <= 0
          ? 1
          : PRODUCTS.reduce((sum, p, i) => sum + p.densityGPerMl * (treating.pumpsMlPerMin[i] ?? 0), 0) /
            pumped(),
    ],
    ['Bagger.HopperLevel', () => treating.hopper.contentsKg()],
    ['Bagger.BagMass', () => bagger.lastBagKg],
    ['Bagger.BagCount', () => START_BAGS + bagger.bags],
    ['Bagger.RejectedCount', () => bagger.rejected],
    ['Bagger.MassTotal', () => (START_KG.bagger + bagger.baggedKg) % TOTAL_ROLLOVER_KG],
  ];
}

function driveSignals(plant: Plant): Entry[] {
  return [...plant.drives].flatMap(([id, drive]) => signalsOfDrive(id, drive));
}

function signalsOfDrive(id: DriveId, drive: DriveState): Entry[] {
  const [machine = '', prefix = ''] = id.split('.');
  const node = (signal: string) => `${machine}.${prefix}${signal}`;
  return [
    [node('MotorCurrent'), () => drive.currentA],
    [node('MotorCurrentL1'), () => drive.currentA],
    [node('MotorCurrentL2'), () => drive.currentA],
    [node('MotorCurrentL3'), () => drive.currentA],
    [node('Speed'), () => drive.speed * drive.entry.ratedSpeedRpm],
    [node('MotorTemperature'), () => drive.windingC],
    [node('BearingTemperature'), () => drive.bearingC],
    [node('Vibration'), () => drive.vibrationMmPerS],
    [node('RunHours'), () => drive.runHours],
    [node('Starts'), () => drive.starts],
    [node('Pressure'), () => (drive.entry.ratedPressurePa ?? 0) * 0.8 * drive.speed ** 2],
  ];
}
