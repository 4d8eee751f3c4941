import { clockText } from '../../server/contract/format/time-text.ts';
import { alarmCounts, inAlarmOrder, isSetAside } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import { useConnection, useStore, useTimeReader } from '../live/use-live.ts';
import { AlarmCard } from './alarm-card.tsx';
import { AlarmRows } from './alarm-rows.tsx';
import './alarm-list.css';

/** All standing alarms, what must be acknowledged first. */
export function AlarmList() {
  const { stores, texts } = useApp();
  const alarms = useStore(stores.alarms).filter((alarm) => !isSetAside(alarm));
  const connection = useConnection();
  const time = useTimeReader();
  if (connection.state !== 'live' && alarms.length === 0) {
    return <p className="alarm-list-empty soft">{texts.alarms.noneWithoutConnection}</p>;
  }
  if (alarms.length === 0) return <p className="alarm-list-empty soft">{texts.alarms.none}</p>;
  return (
    <>
      {connection.state === 'lost' && connection.sinceMs !== null && (
        <p className="alarm-list-empty">{texts.alarms.asOf(clockText(connection.sinceMs, time))}</p>
      )}
      <AlarmRows>
        {inAlarmOrder(alarms).map((alarm) => (
          <AlarmCard key={alarm.id} alarm={alarm} />
        ))}
      </AlarmRows>
    </>
  );
}

/** "2 to acknowledge · 3 active · 1 shelved", told to screen readers when it changes. */
export function AlarmCountLine() {
  const { stores, texts } = useApp();
  const { unacknowledged, active, setAside } = alarmCounts(useStore(stores.alarms));
  return (
    <p role="status" className="alarm-counts">
      {texts.alarms.counts(unacknowledged, active, setAside)}
    </p>
  );
}
