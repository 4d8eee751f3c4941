/** What is needed of the library's variant, named here so that this file loads nothing. */
export interface VariantLike {
  readonly dataType: number;
  readonly arrayType: number;
  readonly value: unknown;
}

/** Built-in types of OPC UA Part 6, table 1, that stand for a number. Enumerations arrive as Int32. */
const BOOLEAN = 1;
const SBYTE = 2;
const INT64 = 8;
const UINT64 = 9;
const DOUBLE = 11;

const SCALAR = 0;
const WORD = 2 ** 32;

/**
 * The number that a value stands for, or null when it stands for none: contacts are 0 and 1; 64-bit integers,
 * which arrive as [high, low] words, are exact up to 2^53. Text, dates, arrays and structures are no numbers,
 * and neither are NaN and the infinities, which plants send with status Good.
 */
export function scalarNumber(variant: VariantLike): number | null {
  if (variant.arrayType !== SCALAR) return null;
  const { dataType, value } = variant;
  if (typeof value === 'number') return isNumeric(dataType) && Number.isFinite(value) ? value : null;
  if (dataType === BOOLEAN && typeof value === 'boolean') return value ? 1 : 0;
  if (dataType === INT64) return fromWords(value, true);
  if (dataType === UINT64) return fromWords(value, false);
  return null;
}

function isNumeric(dataType: number): boolean {
  return dataType >= SBYTE && dataType <= DOUBLE;
}

function fromWords(value: unknown, isSigned: boolean): number | null {
  if (!Array.isArray(value) || value.length !== 2) return null;
  const [high, low] = value as readonly unknown[];
  if (typeof high !== 'number' || typeof low !== 'number') return null;
  return (isSigned ? high | 0 : high >>> 0) * WORD + (low >>> 0);
}
