import { expect } from 'vitest';
import {
  either,
  expectRatio,
  matching,
  seedFrom,
  stopsFrom,
  type Expected,
} from '#tests/simulator/expected-upset.ts';

/** Upsets of the lot and of the machines that clean it. */
export const MACHINE_UPSETS: readonly Expected[] = [
  {
    upset: 'feed-surge',
    seconds: 590,
    mayTouch: either(seedFrom('Intake'), matching(/^Intake\.FeedGate$/)),
    shows(run) {
      expectRatio(run, 'Intake.MassFlow', [1.19, 1.21]);
      expectRatio(run, 'Intake.FeedGate', [1.19, 1.21]);
      expectRatio(run, 'Elevator1.MotorCurrent', [1.05, 1.3]);
      expectRatio(run, 'Clean.MassFlow', [1.15, 1.22]);
    },
  },
  {
    upset: 'wet-lot',
    seconds: 1200,
    mayTouch: seedFrom('Intake'),
    shows(run) {
      const moisture = run.of('Intake.Moisture');
      expect(moisture.with - moisture.without).toBeCloseTo(3, 0);
      expectRatio(run, 'Dryer.MoistureOut', [1.15, 1.3]);
    },
  },
  {
    upset: 'trashy-lot',
    seconds: 1200,
    mayTouch: seedFrom('Intake'),
    shows(run) {
      expectRatio(run, 'AirScreen.ScreeningsFlow', [1.5, 2.5]);
      expectRatio(run, 'Clean.MassFlow', [0.8, 0.97]);
    },
  },
  {
    upset: 'screen-blinding',
    seconds: 1200,
    mayTouch: seedFrom('AirScreen'),
    shows(run) {
      expectRatio(run, 'AirScreen.ScreeningsFlow', [0.6, 0.9]);
      expectRatio(run, 'Sizer.OffSizeFlow', [1.05, 2]);
    },
  },
  {
    upset: 'torn-screen',
    seconds: 900,
    mayTouch: seedFrom('AirScreen'),
    shows(run) {
      const screenings = run.of('AirScreen.ScreeningsFlow');
      expect(screenings.with - screenings.without).toBeGreaterThan(400);
      expectRatio(run, 'Clean.MassFlow', [0.94, 0.98]);
    },
  },
  {
    upset: 'air-gate-drift',
    seconds: 1200,
    mayTouch: either(
      seedFrom('Aspirator'),
      matching(/^Aspirator\.(Fan(Pressure|Motor|Speed|Bearing)|AirGate)/),
    ),
    shows(run) {
      expectRatio(run, 'Aspirator.LiftingsFlow', [1.1, 6]);
      expectRatio(run, 'Aspirator.AirGate', [1.3, 1.4]);
      expectRatio(run, 'Aspirator.FanPressure', [0.5, 0.95]);
      expectRatio(run, 'Aspirator.FanMotorCurrent', [1.03, 1.3]);
    },
  },
  {
    upset: 'deck-belt-slip',
    seconds: 900,
    mayTouch: either(seedFrom('GravityTable'), matching(/^GravityTable\.Deck(Speed|Vibration)/)),
    shows(run) {
      expectRatio(run, 'GravityTable.DeckSpeed', [0.93, 0.95]);
      expectRatio(run, 'GravityTable.LightsFlow', [1.2, 3]);
      expectRatio(run, 'GravityTable.MotorCurrent', [0.9, 1.05]);
    },
  },
  {
    upset: 'deck-out-of-tune',
    seconds: 900,
    mayTouch: either(seedFrom('GravityTable'), matching(/^GravityTable\.DeckVibration/)),
    shows(run) {
      expectRatio(run, 'GravityTable.DeckVibration', [1.3, 1.4]);
      expectRatio(run, 'GravityTable.LightsFlow', [1.03, 3]);
    },
  },
  {
    upset: 'fan-bearing-wear',
    seconds: 3000,
    mayTouch: matching(/^AirScreen\.Fan(MotorCurrent|MotorTemperature|BearingTemperature|Vibration)/),
    shows(run) {
      expect(run.of('AirScreen.FanVibration').with).toBeGreaterThan(4.5);
      const bearing = run.of('AirScreen.FanBearingTemperature');
      expect(bearing.with - bearing.without).toBeGreaterThan(15);
    },
  },
  {
    upset: 'fan-filter-loading',
    seconds: 1800,
    mayTouch: either(
      matching(/^DustSystem\.(Fan|FilterPressure)/),
      matching(/^(AirScreen\.Screenings|Aspirator\.Liftings|Destoner\.Stones|GravityTable\.Lights)Flow$/),
    ),
    shows(run) {
      expectRatio(run, 'DustSystem.FilterPressure', [1.5, 5]);
      expectRatio(run, 'DustSystem.FanMotorCurrent', [0.7, 0.97]);
    },
  },
  {
    upset: 'motor-phase-imbalance',
    seconds: 1800,
    mayTouch: matching(/^GravityTable\.Fan(MotorCurrentL|MotorTemperature)/),
    shows(run) {
      expectRatio(run, 'GravityTable.FanMotorCurrentL1', [1.11, 1.13]);
      expectRatio(run, 'GravityTable.FanMotorCurrentL2', [0.93, 0.95]);
      expectRatio(run, 'GravityTable.FanMotorTemperature', [1.1, 2]);
    },
  },
  {
    upset: 'elevator-belt-slip',
    seconds: 400,
    mayTouch: stopsFrom('Intake'),
    shows(run) {
      expect(run.lowest('Elevator2.SpeedOk')).toBe(0);
      expect(run.last('Elevator2.Running')).toBe(0);
      expect(run.last('Intake.Running')).toBe(0);
      expect(run.last('Destoner.Running')).toBe(1);
    },
  },
];
