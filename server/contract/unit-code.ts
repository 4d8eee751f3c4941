import { Type, type Static } from 'typebox';

/**
 * The units that are stored and sent: metric, one for each kind of quantity. Readers' units (bu/h, fl oz/bu,
 * degrees Fahrenheit) are made where they are read, in `format/`.
 */
export const UNIT_CODES = [
  '1',
  'kg',
  'kg/h',
  'kg/bu',
  'kg/hL',
  'mL',
  'mL/min',
  'mL/bu',
  'g/mL',
  'degC',
  'A',
  'V',
  'kW',
  'Pa',
  'm/s',
  'mm/s',
  'mm',
  'deg',
  '1/min',
  'h',
  's',
  'count',
  'state',
  /** In the plant's own currency, which `PlantDescription.currency` names. */
  'money/h',
] as const;

export const UnitCodeSchema = Type.Enum([...UNIT_CODES], {
  description: 'Unit of a stored or sent quantity; "1" is a ratio from 0 to 1',
});

export type UnitCode = (typeof UNIT_CODES)[number];

/** A number that has left the typed world: its unit travels with it. */
export const QuantitySchema = Type.Object(
  { value: Type.Number(), unit: UnitCodeSchema },
  { $id: 'Quantity' },
);
export type Quantity = Static<typeof QuantitySchema>;
