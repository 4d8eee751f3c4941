import { numberText } from './number-text.ts';

const MS_PER_S = 1000;
const S_PER_MIN = 60;
const S_PER_H = 3600;
const S_PER_DAY = 86_400;

/** How long ago, in the largest unit that still says enough: 0.4 s, 26 s, 26 min, 3 h 5 min, 2 days. */
export function ageText(ageMs: number, decimalMark: string): string {
  const seconds = Math.max(0, ageMs) / MS_PER_S;
  if (seconds < 10) return `${numberText(Math.floor(seconds * 10) / 10, 1, decimalMark)}\u00a0s`;
  if (seconds < 2 * S_PER_MIN) return `${Math.floor(seconds)}\u00a0s`;
  if (seconds < S_PER_H) return `${Math.floor(seconds / S_PER_MIN)}\u00a0min`;
  if (seconds < 2 * S_PER_DAY) {
    const minutes = Math.floor((seconds % S_PER_H) / S_PER_MIN);
    return `${Math.floor(seconds / S_PER_H)}\u00a0h${minutes === 0 ? '' : `\u00a0${minutes}\u00a0min`}`;
  }
  return `${Math.floor(seconds / S_PER_DAY)}\u00a0d`;
}
