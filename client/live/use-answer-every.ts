import { useCallback } from 'react';
import { useAnswer, type Asked } from './use-answer.ts';
import { useNow } from './use-live.ts';

/** The same question again and again, for pages that explain and are no live display. */
export function useAnswerEvery<Answer>(
  ask: (signal: AbortSignal) => Promise<Answer>,
  everyMs: number,
): Asked<Answer> {
  const turn = Math.floor(useNow() / everyMs);
  // eslint-disable-next-line react-hooks/exhaustive-deps -- each turn is a question anew
  return useAnswer(useCallback((signal: AbortSignal) => ask(signal), [ask, turn]));
}
