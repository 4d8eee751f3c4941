const GROUP = 3;
/** Thin enough not to look like two numbers, and never broken at a line's end. */
const GROUP_SPACE = '\u202f';
const MINUS = '\u2212';
/** Grouping starts at ten thousand: a year or a four-digit rate reads better in one piece. */
const GROUPED_FROM_DIGITS = 5;

/**
 * A number with a fixed count of decimals, its thousands set apart and a true minus sign. It takes the words of
 * the language only for the decimal mark.
 */
export function numberText(value: number, decimals: number, decimalMark: string): string {
  const fixed = Math.abs(value).toFixed(decimals);
  const [whole = '', fraction] = fixed.split('.');
  const sign = value < 0 && Number(fixed) !== 0 ? MINUS : '';
  const text = sign + grouped(whole);
  return fraction === undefined ? text : text + decimalMark + fraction;
}

function grouped(whole: string): string {
  if (whole.length < GROUPED_FROM_DIGITS) return whole;
  const head = whole.length % GROUP;
  const groups = whole.slice(head).match(/\d{3}/g) ?? [];
  return [...(head === 0 ? [] : [whole.slice(0, head)]), ...groups].join(GROUP_SPACE);
}
