import { alarmCounts, inAlarmOrder } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import { useConnection, useStore } from '../live/use-live.ts';
import { AlarmCard } from './alarm-card.tsx';
import './alarm-list.css';

/** All standing alarms, what must be acknowledged first. */
export function AlarmList() {
  const { stores, texts } = useApp();
  const alarms = useStore(stores.alarms);
  const connection = useConnection();
  if (connection.state !== 'live' && alarms.length === 0) {
    return <p className="alarm-list-empty soft">{texts.alarms.noneWithoutConnection}</p>;
  }
  if (alarms.length === 0) return <p className="alarm-list-empty soft">{texts.alarms.none}</p>;
  return (
    <ul className="alarm-list">
      {inAlarmOrder(alarms).map((alarm) => (
        <AlarmCard key={alarm.id} alarm={alarm} />
      ))}
    </ul>
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
