/** Colours of the current theme, read from the page's tokens when something is drawn: a canvas knows no CSS. */
export function chartColour(token: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(`--${token}`).trim() || '#888';
}
