import { expect } from 'vitest';
import {
  either,
  expectRatio,
  matching,
  seedFrom,
  SETTING,
  stopsFrom,
  type Expected,
} from '#tests/simulator/expected-upset.ts';

/** Upsets of instruments, treating, bagging and control. */
export const OTHER_UPSETS: readonly Expected[] = [
  {
    upset: 'scale-span-drift',
    seconds: 1300,
    mayTouch: matching(/^Intake\.Mass(Flow|Total)$/),
    shows: (run) => expectRatio(run, 'Intake.MassFlow', [1.019, 1.021]),
  },
  {
    upset: 'scale-zero-drift',
    seconds: 400,
    mayTouch: matching(/^AirScreen\.ScreeningsFlow$/),
    shows(run) {
      const screenings = run.of('AirScreen.ScreeningsFlow');
      expect(screenings.with - screenings.without).toBeCloseTo(60, 0);
    },
  },
  {
    upset: 'pump-air-lock',
    seconds: 300,
    mayTouch: either(matching(/^Treater\.(PumpAFlow|TankA?Mass|SlurryDensity)$/), seedFrom('Dryer')),
    shows(run) {
      expectRatio(run, 'Treater.PumpAFlow', [0.4, 0.75]);
      expect(run.of('Treater.TankAMass').with).toBeGreaterThan(run.of('Treater.TankAMass').without);
    },
  },
  {
    upset: 'wrong-product-ratio',
    seconds: 600,
    mayTouch: either(matching(/^Treater\.(PumpB(Flow|Set)|TankB?Mass|SlurryDensity)$/), seedFrom('Dryer')),
    shows: (run) => expectRatio(run, 'Treater.PumpBFlow', [1.24, 1.26]),
  },
  {
    upset: 'tank-runs-out',
    seconds: 900,
    mayTouch: either(matching(/^Treater\.(PumpAFlow|TankA?Mass|SlurryDensity)$/), seedFrom('Dryer')),
    shows(run) {
      expect(run.of('Treater.PumpAFlow').with).toBe(0);
      expect(run.of('Treater.TankAMass').with).toBeLessThan(0.2);
    },
  },
  {
    upset: 'seed-wheel-off',
    seconds: 900,
    mayTouch: either(
      matching(/^Treater\.(Seed(Flow|Total)|Pump.(Flow|Set)|Tank.?Mass|SlurryDensity)$/),
      seedFrom('Dryer'),
    ),
    shows(run) {
      expectRatio(run, 'Treater.SeedFlow', [1.055, 1.065]);
      expectRatio(run, 'Treater.PumpAFlow', [1.055, 1.065]);
      expect(run.truth.with.seedWheelKgPerH).toBeCloseTo(run.truth.without.seedWheelKgPerH, 6);
    },
  },
  {
    upset: 'sticky-seed-bridging',
    seconds: 240,
    mayTouch: either(stopsFrom('CleanBin'), matching(/^(CleanBin|Treater)\./)),
    shows(run) {
      expect(run.highest('Bagger.HopperHigh')).toBe(1);
      expect(run.last('Treater.Running')).toBe(0);
      expect(run.last('Treater.PumpARunning')).toBe(0);
      expect(run.of('Clean.MassFlow').with).toBe(run.of('Clean.MassFlow').without);
    },
  },
  {
    upset: 'dryer-over-temperature',
    seconds: 800,
    mayTouch: either(
      matching(/^Dryer\.(AirTemperature|OutletTemperature|AirHumidity|SeedTemperature|MoistureOut)$/),
      seedFrom('Bagger'),
    ),
    shows(run) {
      const air = run.of('Dryer.AirTemperature');
      expect(air.with - air.without).toBeGreaterThan(22);
      expect(run.of('Dryer.SeedTemperature').with).toBeGreaterThan(43);
      const { with: hot, without: well } = run.truth;
      expect(hot.streams.dried.germination).toBeLessThan(well.streams.dried.germination ?? 0);
    },
  },
  {
    upset: 'bagger-overfill',
    seconds: 900,
    mayTouch: matching(/^Bagger\.(Bag|Rejected|Mass|Hopper)/),
    shows(run) {
      const bag = run.of('Bagger.BagMass');
      expect(bag.with - bag.without).toBeGreaterThan(0.04);
      const rejected = run.of('Bagger.RejectedCount');
      expect(rejected.with - rejected.without).toBeGreaterThan(5);
    },
  },
  {
    upset: 'wrong-gate',
    seconds: 500,
    mayTouch: either(seedFrom('CleanBin'), matching(/^CleanBin\.DivertedToOther$/)),
    shows(run) {
      expect(run.last('CleanBin.DivertedToOther')).toBe(1);
      expect(run.of('Treater.SeedFlow').with).toBeLessThan(0.5 * run.of('Treater.SeedFlow').without);
      expect(run.of('Clean.MassFlow').with).toBe(run.of('Clean.MassFlow').without);
    },
  },
  {
    upset: 'wrong-gate-length-grader',
    seconds: 600,
    crop: 'wheat',
    mayTouch: either(seedFrom('LengthGrader'), matching(/^LengthGrader\.Bypassed$/)),
    shows(run) {
      expect(run.last('LengthGrader.Bypassed')).toBe(1);
      expect(run.of('LengthGrader.ShortsFlow').with).toBe(0);
      expectRatio(run, 'Clean.MassFlow', [1.005, 1.05]);
    },
  },
  {
    upset: 'plugged-leg',
    seconds: 200,
    mayTouch: stopsFrom('Intake'),
    shows(run) {
      expect(run.highest('Elevator1.BootPlugged')).toBe(1);
      expect(run.lowest('Elevator1.SpeedOk')).toBe(0);
      expect(run.highest('Elevator1.MotorCurrent')).toBeGreaterThan(
        1.25 * run.of('Elevator1.MotorCurrent').without,
      );
      expect(run.last('Elevator1.Running')).toBe(0);
      expect(run.last('Scalper.Running')).toBe(1);
    },
  },
  {
    upset: 'plugged-chute',
    seconds: 120,
    mayTouch: stopsFrom('Intake'),
    shows(run) {
      expect(run.highest('Sizer.ChutePlugged')).toBe(1);
      expect(run.last('Sizer.Running')).toBe(0);
      expect(run.last('Aspirator.Running')).toBe(0);
      expect(run.last('Destoner.Running')).toBe(1);
    },
  },
  {
    upset: 'plc-restart',
    seconds: 90,
    mayTouch: () => true,
    shows(run) {
      expect(run.lowest('Bagger.Running')).toBe(0);
      expect(run.lowest('GravityTable.FanRunning')).toBe(0);
      expect(run.lowest('Plant.EmergencyStop')).toBe(0);
      expect(run.touched.length).toBe(run.sims.with.tags.length);
    },
  },
  {
    upset: 'frozen-tag',
    seconds: 300,
    mayTouch: matching(/^Elevator1\.MotorCurrent$/),
    shows(run) {
      expect(run.highest('Elevator1.MotorCurrent')).toBe(run.lowest('Elevator1.MotorCurrent'));
    },
  },
  {
    upset: 'bad-status',
    seconds: 120,
    mayTouch: matching(/^Dryer\.AirTemperature$/),
    shows(run) {
      const { with: sim } = run.sims;
      expect(sim.channels.qualityOf(sim.tagOf.get('Dryer.AirTemperature') ?? -1)).toBe(2);
    },
  },
  {
    upset: 'clock-skew',
    seconds: 60,
    mayTouch: () => false,
    shows(run) {
      const [reading] = run.sims.with.step(1000);
      expect(reading?.timeMs).toBe(run.sims.with.timeMs() + 90_000);
    },
  },
  {
    upset: 'emergency-stop',
    seconds: 100,
    mayTouch: (node) => !SETTING.test(node) && !/^Plant.(Ambient|Mains|Air)/.test(node),
    shows(run) {
      expect(run.last('Plant.EmergencyStop')).toBe(1);
      const { tags, channels } = run.sims.with;
      const running = tags.filter((entry, tag) => /Running$/.test(entry.node) && channels.values[tag] === 1);
      expect(running).toEqual([]);
    },
  },
  {
    upset: 'destoner-stop',
    seconds: 120,
    mayTouch: stopsFrom('Intake'),
    shows(run) {
      expect(run.last('Destoner.Running')).toBe(0);
      expect(run.last('Intake.Running')).toBe(0);
      expect(run.last('GravityTable.Running')).toBe(1);
      expect(run.of('Intake.MassFlow').with).toBe(0);
    },
  },
  {
    upset: 'demo-story',
    seconds: 300,
    mayTouch: either(seedFrom('GravityTable'), matching(/^GravityTable\.Deck/), matching(/^AirScreen\.Fan/)),
    shows: (run) => expectRatio(run, 'GravityTable.LightsFlow', [1.15, 2]),
  },
];
