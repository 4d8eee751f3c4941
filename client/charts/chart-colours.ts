/** A canvas knows no CSS: colours are read from the page's tokens once, and again after a change of theme. */
const known = new Map<string, string>();

export function chartColour(token: string): string {
  const kept = known.get(token);
  if (kept !== undefined) return kept;
  const style = getComputedStyle(document.documentElement);
  const read = style.getPropertyValue(`--${token}`).trim() || '#888';
  known.set(token, read);
  return read;
}

export function forgetChartColours(): void {
  known.clear();
}
