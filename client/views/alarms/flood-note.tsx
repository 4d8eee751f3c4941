import { clockText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useStore, useTimeReader } from '../../live/use-live.ts';

/** Said while more alarms come than a person can answer. */
export function FloodNote() {
  const { texts, stores } = useApp();
  const time = useTimeReader();
  const { sinceMs, count } = useStore(stores.flood);
  return (
    <p role="status" className="alarms-flood">
      {sinceMs !== null && texts.alarms.flood(count, clockText(sinceMs, time))}
    </p>
  );
}
