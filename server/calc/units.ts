/**
 * The plant's quantities as branded numbers, and their exact conversions.
 *
 * A brand keeps a kg/h from being added to a mL/min; it costs nothing at run time. Where the type is
 * lost (JSON, configuration, database, wire) the unit stands in the name instead.
 */

declare const unit: unique symbol;
type Quantity<Unit extends string> = number & { readonly [unit]: Unit };

export type Kilograms = Quantity<'kg'>;
export type KilogramsPerHour = Quantity<'kg/h'>;
export type KilogramsPerBushel = Quantity<'kg/bu'>;
export type KilogramsPerHectolitre = Quantity<'kg/hL'>;
/** A test weight: pounds in a bushel of volume. */
export type PoundsPerBushel = Quantity<'lb/bu'>;
export type Grams = Quantity<'g'>;
export type Millilitres = Quantity<'mL'>;
export type MillilitresPerMinute = Quantity<'mL/min'>;
export type MillilitresPerBushel = Quantity<'mL/bu'>;
export type GramsPerMillilitre = Quantity<'g/mL'>;
export type MillilitresPer100Kilograms = Quantity<'mL/100kg'>;
export type GramsPerLitre = Quantity<'g/L'>;
/** Mass of a thousand seeds. */
export type GramsPerThousandSeeds = Quantity<'g/1000 seeds'>;
export type MilligramsPerSeed = Quantity<'mg/seed'>;
/** In the plant's own currency, which the configuration names. */
export type MoneyPerKilogram = Quantity<'money/kg'>;
export type MoneyPerHour = Quantity<'money/h'>;
export type Metres = Quantity<'m'>;
export type Hours = Quantity<'h'>;
export type Celsius = Quantity<'degC'>;
export type Pascals = Quantity<'Pa'>;
export type KilojoulesPerKilogram = Quantity<'kJ/kg'>;
export type CubicMetresPerKilogram = Quantity<'m3/kg'>;
export type Amperes = Quantity<'A'>;
export type Volts = Quantity<'V'>;
export type Kilowatts = Quantity<'kW'>;
export type KilowattHours = Quantity<'kWh'>;
export type KilowattHoursPerTonne = Quantity<'kWh/t'>;
export type RevolutionsPerMinute = Quantity<'1/min'>;
export type MillimetresPerSecond = Quantity<'mm/s'>;
export type Ratio = Quantity<'1'>;
export type Milliseconds = Quantity<'ms'>;

/** An amount of seed: a total over a window, or a rate at an instant. A formula takes one kind, never both. */
export type SeedAmount = Kilograms | KilogramsPerHour;

export const kilograms = (value: number) => value as Kilograms;
export const kilogramsPerHour = (value: number) => value as KilogramsPerHour;
export const kilogramsPerBushel = (value: number) => value as KilogramsPerBushel;
export const kilogramsPerHectolitre = (value: number) => value as KilogramsPerHectolitre;
export const poundsPerBushel = (value: number) => value as PoundsPerBushel;
export const grams = (value: number) => value as Grams;
export const millilitres = (value: number) => value as Millilitres;
export const millilitresPerMinute = (value: number) => value as MillilitresPerMinute;
export const millilitresPerBushel = (value: number) => value as MillilitresPerBushel;
export const gramsPerMillilitre = (value: number) => value as GramsPerMillilitre;
export const millilitresPer100Kilograms = (value: number) => value as MillilitresPer100Kilograms;
export const gramsPerLitre = (value: number) => value as GramsPerLitre;
export const gramsPerThousandSeeds = (value: number) => value as GramsPerThousandSeeds;
export const milligramsPerSeed = (value: number) => value as MilligramsPerSeed;
export const moneyPerKilogram = (value: number) => value as MoneyPerKilogram;
export const moneyPerHour = (value: number) => value as MoneyPerHour;
export const metres = (value: number) => value as Metres;
export const hours = (value: number) => value as Hours;
export const celsius = (value: number) => value as Celsius;
export const pascals = (value: number) => value as Pascals;
export const kilojoulesPerKilogram = (value: number) => value as KilojoulesPerKilogram;
export const cubicMetresPerKilogram = (value: number) => value as CubicMetresPerKilogram;
export const amperes = (value: number) => value as Amperes;
export const volts = (value: number) => value as Volts;
export const kilowatts = (value: number) => value as Kilowatts;
export const kilowattHours = (value: number) => value as KilowattHours;
export const kilowattHoursPerTonne = (value: number) => value as KilowattHoursPerTonne;
export const revolutionsPerMinute = (value: number) => value as RevolutionsPerMinute;
export const millimetresPerSecond = (value: number) => value as MillimetresPerSecond;
export const ratio = (value: number) => value as Ratio;
export const milliseconds = (value: number) => value as Milliseconds;

export const MINUTES_PER_HOUR = 60;
export const MS_PER_MINUTE = 60_000;
export const MS_PER_HOUR = 3_600_000;
/** Avoirdupois pound, exact. Source: NIST SP 811, Appendix B. */
export const KG_PER_LB = 0.453_592_37;
/** US fluid ounce, exact: 231 in^3 a gallon / 128. Source: NIST Handbook 44, Appendix C. */
export const ML_PER_US_FL_OZ = 29.573_529_562_5;
/** US hundredweight of 100 lb, exact; the long hundredweight of 112 lb is never meant here. */
export const KG_PER_CWT = 45.359_237;
/** 0 degC in kelvin, exact. */
export const KELVIN_AT_0_C = 273.15;
/** US bushel, a volume (struck), exact: 2150.42 in^3. A bushel of seed is a mass instead, by crop and law. */
export const L_PER_US_BUSHEL = 35.239_070_166_88;
