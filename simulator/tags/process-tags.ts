import type { Profile, TagEntry, UnitSymbol } from './tag-entry.ts';

/** What the scales, thermometers, level probes and switches of the line measure. */
export function processTags(): TagEntry[] {
  return [
    ...intakeTags(),
    ...rejectTags(),
    ...machineTags(),
    ...elevatorTags(),
    ...treatingTags(),
    ...plantTags(),
  ];
}

/** Mass totalisers roll over to 0 here, as six-digit counters do. */
export const TOTAL_ROLLOVER_KG = 1_000_000;

function intakeTags(): TagEntry[] {
  return [
    analog('Intake.MassFlow', 'kg/h', [0, 25_000], 'seed flow over the intake scale', 'poor'),
    analog('Intake.MassTotal', 'kg', [0, TOTAL_ROLLOVER_KG], 'intake scale totaliser, rolls over', 'poor'),
    analog('Intake.Moisture', '%', [0, 40], 'moisture of the seed coming in, wet basis'),
    analog('Intake.HopperLevel', '%', [0, 100], 'intake hopper level', 'typical'),
    analog('Intake.FeedGate', '%', [0, 100], 'feed gate opening'),
    analog('Intake.FeedSet', 'kg/h', [0, 25_000], 'set value of the feed'),
    analog(
      'Clean.MassFlow',
      'kg/h',
      [0, 25_000],
      'clean seed over the clean scale, after the gravity table',
      'typical',
    ),
    analog('Clean.MassTotal', 'kg', [0, TOTAL_ROLLOVER_KG], 'clean scale totaliser, rolls over', 'typical'),
    analog('Clean.Moisture', '%', [0, 40], 'moisture of the clean seed, wet basis'),
    analog('CleanBin.Level', 'kg', [0, 12_000], 'clean seed in the bin between cleaning and treating'),
    contact('CleanBin.HighLevel', 'clean bin is full', 'typical'),
    contact('CleanBin.DivertedToOther', 'the gate sends clean seed to the other bin'),
  ];
}

function rejectTags(): TagEntry[] {
  const reject = (node: string, high: number, about: string) => analog(node, 'kg/h', [0, high], about);
  return [
    reject('Scalper.OversFlow', 1500, 'overs taken by the scalper'),
    reject('AirScreen.ScreeningsFlow', 4000, 'screenings taken by the air-screen cleaner'),
    reject('Aspirator.LiftingsFlow', 2000, 'liftings taken by the aspirator'),
    reject('LengthGrader.ShortsFlow', 2000, 'shorts (and longs) taken by the length grader'),
    reject('Sizer.OffSizeFlow', 2500, 'off-size (splits) taken by the sizer'),
    reject('Destoner.StonesFlow', 300, 'stones and clods taken by the destoner'),
    reject('GravityTable.LightsFlow', 4000, 'lights taken by the gravity table'),
    reject('GravityTable.MiddlingsFlow', 4000, 'middlings going back to the table'),
    reject('Spiral.OffRoundFlow', 2000, 'seed that does not roll, left by the spiral'),
    reject('ColourSorter.OffColourFlow', 1000, 'off-colour seed blown out by the colour sorter'),
  ];
}

function machineTags(): TagEntry[] {
  return [
    contact('LengthGrader.Bypassed', 'the gate sends seed past the length grader'),
    contact('Spiral.Bypassed', 'the gate sends seed past the spiral'),
    contact('ColourSorter.Bypassed', 'the gate sends seed past the colour sorter'),
    contact('Scalper.ChutePlugged', 'chute below the scalper is plugged'),
    contact('AirScreen.ChutePlugged', 'chute below the air-screen cleaner is plugged'),
    contact('Sizer.ChutePlugged', 'chute below the sizer is plugged'),
    contact('GravityTable.ChutePlugged', 'chute below the gravity table is plugged'),
    analog('AirScreen.AirGate', '%', [0, 100], 'air gate opening'),
    analog('AirScreen.TopScreen', 'mm', [0, 20], 'top screen, hole size'),
    analog('AirScreen.BottomScreen', 'mm', [0, 20], 'bottom screen, slot width'),
    analog('AirScreen.ShoeSpeed', '1/min', [0, 600], 'shoe strokes'),
    analog('Aspirator.AirGate', '%', [0, 100], 'air gate opening'),
    analog('Scalper.Screen', 'mm', [0, 30], 'scalper screen, hole size'),
    analog('LengthGrader.TroughAngle', '°', [0, 90], 'trough lip angle'),
    analog('LengthGrader.CylinderSpeed', 'r/min', [0, 80], 'cylinder speed'),
    analog('Sizer.WidthScreen', 'mm', [0, 20], 'width screen, hole size'),
    analog('Sizer.ThicknessScreen', 'mm', [0, 20], 'thickness screen, slot width'),
    analog('Destoner.DeckSpeed', '1/min', [0, 800], 'deck strokes'),
    analog('Destoner.DeckTilt', '°', [0, 15], 'deck tilt'),
    analog('Destoner.DeckVibration', 'mm/s', [0, 200], 'deck frame vibration velocity, r.m.s.'),
    analog('GravityTable.DeckSpeed', '1/min', [0, 800], 'deck strokes'),
    analog('GravityTable.DeckTilt', '°', [0, 15], 'deck side tilt'),
    analog('GravityTable.DeckVibration', 'mm/s', [0, 200], 'deck frame vibration velocity, r.m.s.'),
    analog('GravityTable.FeedGate', '%', [0, 100], 'feed gate opening'),
    analog('DustSystem.FilterPressure', 'Pa', [0, 4000], 'pressure drop over the dust filter'),
  ];
}

function elevatorTags(): TagEntry[] {
  return ['Elevator1', 'Elevator2', 'Elevator3'].flatMap((elevator) => [
    analog(`${elevator}.BeltSpeed`, 'm/s', [0, 5], 'belt speed from the tail pulley'),
    contact(`${elevator}.SpeedOk`, 'speed switch: belt above 80 % of its speed', 'typical'),
    contact(`${elevator}.BootPlugged`, 'boot is plugged with seed', 'typical'),
  ]);
}

function treatingTags(): TagEntry[] {
  return [
    analog('Treater.SeedFlow', 'kg/h', [0, 25_000], "seed flow over the treater's seed wheel"),
    analog('Treater.SeedTotal', 'kg', [0, TOTAL_ROLLOVER_KG], 'seed wheel totaliser, rolls over'),
    analog('Treater.PumpAFlow', 'mL/min', [0, 1500], 'Coat A pump flow'),
    analog('Treater.PumpBFlow', 'mL/min', [0, 1500], 'Coat B pump flow'),
    analog('Treater.PumpCFlow', 'mL/min', [0, 1500], 'Binder pump flow'),
    ...['Coat A', 'Coat B', 'Binder'].flatMap((product, i) =>
      pumpTags(product, `Treater.Pump${'ABC'[i] ?? ''}`),
    ),
    analog('Treater.TankMass', 'kg', [0, 1000], 'all three products on the platform scale', 'typical'),
    analog('Treater.TankAMass', 'kg', [0, 400], 'Coat A left'),
    analog('Treater.TankBMass', 'kg', [0, 400], 'Coat B left'),
    analog('Treater.TankCMass', 'kg', [0, 400], 'Binder left'),
    analog('Treater.SlurryDensity', 'g/mL', [0.7, 1.6], 'density of the three products together'),
    analog('Dryer.AirTemperature', '°C', [0, 120], 'drying air temperature', 'typical'),
    analog('Dryer.AirTemperatureSet', '°C', [0, 120], 'set value of the drying air temperature'),
    analog('Dryer.OutletTemperature', '°C', [0, 120], 'temperature of the air leaving the dryer'),
    analog('Dryer.AirHumidity', '%', [0, 100], 'relative humidity of the air leaving the dryer'),
    analog('Dryer.SeedTemperature', '°C', [0, 100], 'temperature of the seed leaving the dryer'),
    analog('Dryer.MoistureOut', '%', [0, 40], 'moisture of the seed leaving the dryer, wet basis'),
    analog('Bagger.HopperLevel', 'kg', [0, 400], 'treated seed in the hopper above the bagger'),
    contact('Bagger.HopperHigh', 'hopper above the bagger is full', 'typical'),
    analog('Bagger.BagSet', 'kg', [0, 40], 'set value of the net mass of a bag'),
    analog('Bagger.BagMass', 'kg', [0, 40], 'net mass of the last bag', 'typical'),
    counter('Bagger.BagCount', 'bags filled and accepted', 'poor'),
    counter('Bagger.RejectedCount', 'bags out of tolerance, emptied back into the hopper', 'typical'),
    analog(
      'Bagger.MassTotal',
      'kg',
      [0, TOTAL_ROLLOVER_KG],
      'net mass bagged, totaliser, rolls over',
      'poor',
    ),
  ];
}

function pumpTags(product: string, pump: string): TagEntry[] {
  return [
    contact(`${pump}Running`, `${product} pump contactor closed`, 'poor'),
    analog(`${pump}Set`, 'mL/min', [0, 1500], `set value of the ${product} pump, follows the seed wheel`),
    analog(`${pump}MotorCurrent`, 'A', [0, 10], `${product} pump motor current`),
    analog(`${pump}Speed`, 'r/min', [0, 3000], `${product} pump motor speed`),
    analog(`${pump}RunHours`, 'h', [0, 1_000_000], `${product} pump run hours`),
    counter(`${pump}Starts`, `${product} pump starts`),
  ];
}

function plantTags(): TagEntry[] {
  return [
    contact('Plant.EmergencyStop', 'an emergency stop is pressed', 'poor'),
    analog('Plant.AirPressure', 'Pa', [80_000, 110_000], 'air pressure outside'),
    analog('Plant.MainsVoltage', 'V', [0, 500], 'mains voltage, mean of phases'),
    analog('Plant.AmbientTemperature', '°C', [-40, 60], 'air temperature in the plant'),
    analog('Plant.AmbientHumidity', '%', [0, 100], 'relative humidity in the plant'),
  ];
}

type AnalogArguments = readonly [
  node: string,
  unit: UnitSymbol,
  range: readonly [number, number],
  about: string,
  least?: Profile,
];

function analog(...[node, unit, [low, high], about, least = 'full']: AnalogArguments): TagEntry {
  return { node, kind: 'analog', unit, low, high, about, least };
}

function contact(node: string, about: string, least: Profile = 'full'): TagEntry {
  return { node, kind: 'contact', unit: '1', low: 0, high: 1, about, least };
}

function counter(node: string, about: string, least: Profile = 'full'): TagEntry {
  return { node, kind: 'counter', unit: '1', low: 0, high: 4_294_967_295, about, least };
}
