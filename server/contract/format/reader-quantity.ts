import { KG_PER_CWT, KG_PER_LB, ML_PER_US_FL_OZ } from '../../calc/units.ts';
import type { Quantity, UnitCode } from '../unit-code.ts';
import type { ReaderContext } from './reader-units.ts';

const KG_PER_T = 1000;
/** A volume bushel of 2150.42 in^3, exact, in hectolitres. Source: NIST Handbook 44, Appendix C. */
const HL_PER_US_BU = 0.352_390_701_668_8;
const PERCENT = 100;

/** How one stored unit becomes what a reader sees: `value * factor + offset`, its symbol and its decimals. */
export interface ReaderScale {
  readonly factor: number;
  readonly offset: number;
  /** Empty for a plain number. */
  readonly symbol: string;
  /** A property of the unit, never of the value: a live number must not change its form as it moves. */
  readonly decimals: number;
}

/**
 * Which scale turns a stored unit into the reader's?
 *
 *     reader value = stored value * factor + offset
 *
 * Shape    one unit in, one scale out; apply it to a value with `readerValue`
 * Units    the stored unit codes -> bu, lb, kg, t; fl oz, mL; °F, °C; %
 * Unknown  bushels without a crop are shown as pounds, a dose without a crop stays in mL/bu: nothing is guessed
 * Throws   nothing
 * Source   NIST SP 811 Appendix B and NIST Handbook 44 Appendix C; bushel masses come with the crop
 *
 * @example 9072 kg/h of 27.2155422 kg bushels is 333.34 bu/h
 */
export function readerScale(unit: UnitCode, context: ReaderContext): ReaderScale {
  return SCALES[unit](context);
}

export function readerValue(quantity: Quantity, context: ReaderContext): number {
  const { factor, offset } = readerScale(quantity.unit, context);
  return quantity.value * factor + offset;
}

/** Complete by type: a unit that is added to the contract does not compile until it can be read. */
const SCALES: Readonly<Record<UnitCode, (context: ReaderContext) => ReaderScale>> = {
  kg: massScale,
  'kg/h': massRateScale,
  'mL/bu': doseScale,
  mL: (context) => volumeScale('', context),
  'mL/min': (context) => volumeScale('/min', context),
  degC: ({ units }) =>
    units.temperature === '°F' ? { ...scale(1.8, '°F', 1), offset: 32 } : scale(1, '°C', 1),
  'kg/hL': (context) =>
    isMetric(context) ? scale(1, 'kg/hL', 1) : scale(HL_PER_US_BU / KG_PER_LB, 'lb/bu', 1),
  'kg/bu': (context) => (isMetric(context) ? scale(1, 'kg/bu', 2) : scale(1 / KG_PER_LB, 'lb/bu', 1)),
  '1': () => scale(PERCENT, '%', 1),
  'g/mL': () => scale(1, 'g/mL', 3),
  A: () => scale(1, 'A', 1),
  V: () => scale(1, 'V', 0),
  kW: () => scale(1, 'kW', 1),
  Pa: () => scale(1, 'Pa', 0),
  'm/s': () => scale(1, 'm/s', 2),
  'mm/s': () => scale(1, 'mm/s', 1),
  mm: () => scale(1, 'mm', 1),
  deg: () => scale(1, '°', 1),
  '1/min': () => scale(1, '1/min', 0),
  h: () => scale(1, 'h', 1),
  s: () => scale(1, 's', 1),
  count: () => scale(1, '', 0),
  state: () => scale(1, '', 0),
  'money/h': () => scale(1, '/h', 2),
};

function scale(factor: number, symbol: string, decimals: number): ReaderScale {
  return { factor, offset: 0, symbol, decimals };
}

function isMetric({ units }: ReaderContext): boolean {
  return units.massRate === 'kg/h' || units.massRate === 't/h';
}

function massScale({ units, bushelMassKg }: ReaderContext): ReaderScale {
  if (units.massRate === 'kg/h') return scale(1, 'kg', 0);
  if (units.massRate === 't/h') return scale(1 / KG_PER_T, 't', 2);
  if (units.massRate === 'lb/h' || bushelMassKg === null) return scale(1 / KG_PER_LB, 'lb', 0);
  return scale(1 / bushelMassKg, 'bu', 0);
}

function massRateScale(context: ReaderContext): ReaderScale {
  const mass = massScale(context);
  return { ...mass, symbol: `${mass.symbol}/h` };
}

function doseScale({ units, bushelMassKg }: ReaderContext): ReaderScale {
  if (units.dose === 'fl oz/bu') return scale(1 / ML_PER_US_FL_OZ, 'fl oz/bu', 2);
  if (bushelMassKg === null) return scale(1, 'mL/bu', 1);
  if (units.dose === 'fl oz/cwt') return scale(KG_PER_CWT / bushelMassKg / ML_PER_US_FL_OZ, 'fl oz/cwt', 2);
  return scale(100 / bushelMassKg, 'mL/100 kg', 0);
}

function volumeScale(perTime: '' | '/min', { units }: ReaderContext): ReaderScale {
  if (units.dose === 'mL/100 kg') return scale(1, `mL${perTime}`, 0);
  return scale(1 / ML_PER_US_FL_OZ, `fl oz${perTime}`, perTime === '' ? 0 : 2);
}
