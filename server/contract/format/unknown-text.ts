import type { UnknownReason } from '../../calc/unknown-reason.ts';
import type { FormatWords } from './format-words.ts';

/** A few words that stand where the number would. */
export function unknownText(because: UnknownReason, words: FormatWords): string {
  return words.unknown[because];
}

/** One sentence: what the reason means and what brings the number back. */
export function unknownSentence(because: UnknownReason, words: FormatWords): string {
  return words.unknownSentence[because];
}
