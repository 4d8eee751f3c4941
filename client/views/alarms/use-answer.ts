import { useEffect, useState } from 'react';
import type { AlarmCatalogue } from '../../../server/contract/alarm-catalogue.ts';
import { fetchAlarmCatalogue } from '../../live/plant-api.ts';

export interface Answer<Value> {
  readonly answer: Value | null;
  readonly hasFailed: boolean;
}

type Ask<Value> = (signal: AbortSignal) => Promise<Value>;

/** Asks once for each `ask`, which must stay the same while the question does. The last answer stands until the next. */
export function useAnswer<Value>(ask: Ask<Value>): Answer<Value> {
  const [state, setState] = useState<Answer<Value>>({ answer: null, hasFailed: false });
  useEffect(() => {
    const asking = new AbortController();
    ask(asking.signal).then(
      (answer) => setState({ answer, hasFailed: false }),
      () => {
        if (!asking.signal.aborted) setState({ answer: null, hasFailed: true });
      },
    );
    return () => asking.abort();
  }, [ask]);
  return state;
}

export function useCatalogue(): Answer<AlarmCatalogue> {
  return useAnswer(fetchAlarmCatalogue);
}
