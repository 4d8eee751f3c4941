import type { Frame } from '../contract/frame.ts';
import type { Reading } from '../contract/reading.ts';

/**
 * The frame with a word on each tag whose last good reading became too old within it: from then on nothing is known.
 *
 * A tag that stands still is read again long before that (see `TagSource`), so silence means that it does not answer
 * or that the link is down. The instant follows from the last reading alone: nothing has to be remembered.
 */
export function withStale(frame: Frame, staleAfterMs: ReadonlyMap<string, number>): Frame {
  const { endMs, tickMs, latest } = frame;
  const stale: Reading[] = [];
  for (const [tag, allowedMs] of staleAfterMs) {
    const last = latest.get(tag);
    if (last === undefined || last.value === null) continue;
    const sourceTimeMs = last.sourceTimeMs + allowedMs + 1;
    if (sourceTimeMs > endMs || sourceTimeMs <= endMs - tickMs) continue;
    stale.push({ tag, sourceTimeMs, arrivalMs: endMs, value: null, quality: 'stale' });
  }
  if (stale.length === 0) return frame;
  const readings = [...frame.readings, ...stale].sort((a, b) => a.sourceTimeMs - b.sourceTimeMs);
  return { ...frame, readings };
}
