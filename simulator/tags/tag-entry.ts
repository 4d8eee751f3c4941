/**
 * One measured point of the plant as its control system offers it: what it is called, its unit and range.
 *
 * The catalogue says nothing of how the value comes about; that is the physics' and the instruments' part.
 */

/** How much a plant measures; each level has what the level below it has. */
export type Profile = 'full' | 'typical' | 'poor';

export const PROFILES: readonly Profile[] = ['full', 'typical', 'poor'];

/** A contact is a Boolean, a counter a whole number that only grows, an analog a Double. */
type TagKind = 'analog' | 'counter' | 'contact';

export interface TagEntry {
  /** String node id without its namespace: `<Machine>.<Signal>`. */
  readonly node: string;
  readonly kind: TagKind;
  readonly unit: UnitSymbol;
  /** Engineering range; a totaliser rolls over to `low` when it reaches `high`. */
  readonly low: number;
  readonly high: number;
  readonly about: string;
  /** The poorest profile that still has this point. */
  readonly least: Profile;
}

export type UnitSymbol = keyof typeof UNIT_CODES;

/** Unit symbols with their UNECE Recommendation 20 common codes, which OPC UA Part 8 (5.6.3) uses. From memory. */
export const UNIT_CODES = {
  'kg/h': 'E93',
  kg: 'KGM',
  'mL/min': '41',
  'g/mL': 'GJ',
  A: 'AMP',
  V: 'VLT',
  Pa: 'PAL',
  '°C': 'CEL',
  'm/s': 'MTS',
  'mm/s': 'C16',
  mm: 'MMT',
  '%': 'P1',
  'r/min': 'RPM',
  '1/min': 'C94',
  '°': 'DD',
  h: 'HUR',
  '1': 'C62',
} as const;

/** Unit id of OPC UA Part 8: the characters of the common code as bytes of one number. */
export function unitId(symbol: UnitSymbol): number {
  return Array.from(UNIT_CODES[symbol]).reduce((id, character) => id * 256 + character.charCodeAt(0), 0);
}

export function isInProfile(entry: TagEntry, profile: Profile): boolean {
  return PROFILES.indexOf(profile) <= PROFILES.indexOf(entry.least);
}
