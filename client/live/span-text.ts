const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/** A time to respond or a median, as a person says it: "10 min", "45 s", "2 h 30 min". */
export function spanText(spanMs: number): string {
  if (spanMs < MINUTE_MS) return `${Math.round(spanMs / 1000)} s`;
  const minutes = Math.round(spanMs / MINUTE_MS);
  if (spanMs < HOUR_MS) return `${minutes} min`;
  const rest = minutes % 60;
  const hours = Math.floor(minutes / 60);
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}
