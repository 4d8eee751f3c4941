/** Mean advance of the typeface over its size. B612's regular and bold, measured in Chromium: 0.43 to 0.56 a letter. */
const MEAN_ADVANCE = 0.54;

/** About how wide a text will be, so that a layout can be computed without a page to measure in. */
export function textWidthPx(text: string, fontPx: number): number {
  return text.length * fontPx * MEAN_ADVANCE;
}

/** The widest word of a label that may break between words. */
export function widestWordPx(text: string, fontPx: number): number {
  return Math.max(0, ...text.split(' ').map((word) => textWidthPx(word, fontPx)));
}
