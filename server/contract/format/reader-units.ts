/** The units that a reader may choose. What is stored and sent stays metric. */
export const MASS_RATE_CHOICES = ['bu/h', 'lb/h', 'kg/h', 't/h'] as const;
export const DOSE_CHOICES = ['fl oz/bu', 'fl oz/cwt', 'mL/100 kg'] as const;
export const TEMPERATURE_CHOICES = ['°F', '°C'] as const;

export type MassRateChoice = (typeof MASS_RATE_CHOICES)[number];
export type DoseChoice = (typeof DOSE_CHOICES)[number];
export type TemperatureChoice = (typeof TEMPERATURE_CHOICES)[number];

/** The mass unit follows the choice for mass rate, the volume unit the choice for dose. */
export interface ReaderUnits {
  readonly massRate: MassRateChoice;
  readonly dose: DoseChoice;
  readonly temperature: TemperatureChoice;
}

export const DEFAULT_READER_UNITS: ReaderUnits = { massRate: 'bu/h', dose: 'fl oz/bu', temperature: '°F' };

/** What a conversion needs besides the choice: a bushel is a mass that differs by crop. Null when no crop is known. */
export interface ReaderContext {
  readonly units: ReaderUnits;
  readonly bushelMassKg: number | null;
}
