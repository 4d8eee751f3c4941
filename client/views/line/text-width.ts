/** Mean advance of the typeface over its size, measured on the machine names of the demo; a little on the wide side. */
const MEAN_ADVANCE = 0.6;
const BOLD_ADVANCE = 0.64;

/** About how wide a text will be, so that a layout can be computed without a page to measure in. */
export function textWidthPx(text: string, fontPx: number, isBold = false): number {
  return text.length * fontPx * (isBold ? BOLD_ADVANCE : MEAN_ADVANCE);
}

/** The widest word of a label that may break between words. */
export function widestWordPx(text: string, fontPx: number, isBold = false): number {
  return Math.max(0, ...text.split(' ').map((word) => textWidthPx(word, fontPx, isBold)));
}
