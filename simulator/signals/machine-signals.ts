import { beltRatio } from '../logic/watch-line.ts';
import { airOf, gateOf, strokesOf } from '../drives/standing.ts';
import { STANDARD_PRESSURE_PA } from '../physics/psychrometrics.ts';
import type { DriveSurroundings, Plant } from '../plant-state.ts';
import type { Signal } from './signal.ts';

/** Settings, deck and belt speeds, air and dryer: what is not a flow and not a drive. */
export function machineSignals(plant: Plant): Signal[] {
  return [...settingSignals(plant), ...motionSignals(plant), ...airSignals(plant)];
}

const SHOE_STROKES_PER_MIN = 400;
const BELT_M_PER_S = 2.4;
const RATED_V = 400;
const FILTER_DESIGN_PA = 900;

function settingSignals(plant: Plant): Signal[] {
  const { settings } = plant.crop;
  return [
    ...gateSignals(plant),
    ['AirScreen.TopScreen', () => settings.topHoleMm],
    ['AirScreen.BottomScreen', () => settings.bottomSlotMm],
    ['Scalper.Screen', () => settings.scalperHoleMm],
    ['LengthGrader.TroughAngle', () => settings.troughAngleDeg],
    ['Sizer.WidthScreen', () => settings.sizerHoleMm],
    ['Sizer.ThicknessScreen', () => settings.sizerSlotMm],
    ['Destoner.DeckTilt', () => settings.destonerTiltDeg],
    ['GravityTable.DeckTilt', () => settings.tableTiltDeg],
    ['GravityTable.FeedGate', () => settings.tableFeedGatePercent],
  ];
}

/** Where the air gates really stand. */
export function gateSignals(plant: DriveSurroundings): Signal[] {
  return ['AirScreen', 'Aspirator'].map((machine) => [
    `${machine}.AirGate`,
    () => gateOf(plant, machine).percent,
  ]);
}

/** Speeds and swings of belts, decks and cylinders. */
export function motionSignals(plant: DriveSurroundings): Signal[] {
  const { settings } = plant.crop;
  const belts = ['Elevator1', 'Elevator2', 'Elevator3'].map(
    (elevator) => [`${elevator}.BeltSpeed`, () => beltRatio(plant, elevator) * BELT_M_PER_S] as const,
  );
  return [
    ...belts,
    ['AirScreen.ShoeSpeed', () => SHOE_STROKES_PER_MIN * strokesOf(plant, 'AirScreen')],
    ['LengthGrader.CylinderSpeed', () => settings.cylinderRpm * strokesOf(plant, 'LengthGrader')],
    ['Destoner.DeckSpeed', () => settings.destonerStrokesPerMin * strokesOf(plant, 'Destoner')],
    ['Destoner.DeckVibration', () => deckVibration(plant, 'Destoner', settings.destonerStrokesPerMin)],
    ['GravityTable.DeckSpeed', () => settings.tableStrokesPerMin * strokesOf(plant, 'GravityTable')],
    ['GravityTable.DeckVibration', () => deckVibration(plant, 'GravityTable', settings.tableStrokesPerMin)],
  ];
}

/**
 * Velocity of a deck that swings as a sine, r.m.s. in mm/s: pi f stroke / sqrt 2, more when it is out of tune.
 */
function deckVibration(plant: DriveSurroundings, machine: string, setStrokesPerMin: number): number {
  const perSecond = (setStrokesPerMin / 60) * strokesOf(plant, machine);
  const tune = 1 + 0.35 * plant.levers.size('deck-out-of-tune', machine);
  return ((Math.PI * perSecond * STROKE_MM) / Math.SQRT2) * tune;
}

const STROKE_MM = 7;

/** Pressure drop over the dust filter, Pa. */
export function filterPressure(plant: DriveSurroundings): number {
  const loading = plant.levers.size('filter-loading', 'DustSystem.Fan');
  return FILTER_DESIGN_PA * airOf(plant, 'DustSystem') ** 2 * (1 + 4 * loading);
}

function airSignals(plant: Plant): Signal[] {
  const { dryer, weather } = plant;
  return [
    ['Dryer.AirTemperature', () => dryer.airC],
    ['Dryer.AirHumidity', () => dryer.outHumidity * 100],
    ['Dryer.SeedTemperature', () => dryer.seedC],
    ['Dryer.MoistureOut', () => dryer.moistureOut * 100],
    ['Dryer.AirTemperatureSet', () => plant.crop.settings.dryerAirC],
    ['Dryer.OutletTemperature', () => dryer.outC],
    ['Plant.AirPressure', () => STANDARD_PRESSURE_PA],
    ['Plant.MainsVoltage', () => weather.mains * RATED_V],
    ['Plant.AmbientTemperature', () => weather.ambientC],
    ['Plant.AmbientHumidity', () => weather.humidity * 100],
    ['DustSystem.FilterPressure', () => filterPressure(plant)],
  ];
}
