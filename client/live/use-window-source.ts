import { useEffect, useMemo } from 'react';
import { windowSource, type WindowQuestion, type WindowSource } from './window-source.ts';

/** A window's answer for as long as the part is on the screen. The question must be the same object while it means the same. */
export function useWindowSource<Answer>(question: WindowQuestion<Answer>): WindowSource<Answer> {
  const source = useMemo(() => windowSource(question), [question]);
  useEffect(() => source.start(), [source]);
  return source;
}
