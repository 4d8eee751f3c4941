import { useEffect, useState } from 'react';

export type Asked<Answer> =
  | { readonly state: 'asking'; readonly answer: Answer | null }
  | { readonly state: 'answered'; readonly answer: Answer }
  | { readonly state: 'failed'; readonly answer: null };

/** A slider that is dragged asks for every place it passes; the server is asked for where it rests. */
const SETTLE_MS = 150;

/**
 * The answer to a question of the server. Another function is another question: the answer before it stays until the
 * new one has come, and a late one is dropped.
 */
export function useAnswer<Answer>(ask: (signal: AbortSignal) => Promise<Answer>): Asked<Answer> {
  const [asked, setAsked] = useState<Asked<Answer>>({ state: 'asking', answer: null });
  useEffect(() => {
    const asking = new AbortController();
    const timer = window.setTimeout(() => {
      setAsked((before) => ({ state: 'asking', answer: before.answer }));
      ask(asking.signal).then(
        (answer) => {
          if (!asking.signal.aborted) setAsked({ state: 'answered', answer });
        },
        () => {
          if (!asking.signal.aborted) setAsked({ state: 'failed', answer: null });
        },
      );
    }, SETTLE_MS);
    return () => {
      window.clearTimeout(timer);
      asking.abort();
    };
  }, [ask]);
  return asked;
}
