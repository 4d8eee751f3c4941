import type { AlarmMessage } from '../../../server/contract/alarm-message.ts';
import { alarmText } from '../../../server/contract/format/alarm-text.ts';
import { recentText } from '../../../server/contract/format/time-text.ts';
import { byPriority, isSetAside } from '../../live/alarm-order.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useReader, useStore, useTimeReader } from '../../live/use-live.ts';
import { AlarmStanding } from '../../parts/alarm-card.tsx';
import { AlarmActions } from './alarm-actions.tsx';

interface SetAsideProps {
  readonly onChoose: (alarm: AlarmMessage) => void;
}

/** What people or rules have set aside: out of the way, in no colour, never out of sight. */
export function SetAsideAlarms({ onChoose }: SetAsideProps) {
  const { stores, texts } = useApp();
  const alarms = byPriority(useStore(stores.alarms).filter(isSetAside));
  if (alarms.length === 0) return null;
  return (
    <details className="alarm-aside">
      <summary>{texts.alarms.setAside(alarms.length)}</summary>
      <ul>
        {alarms.map((alarm) => (
          <SetAsideRow key={alarm.id} alarm={alarm} onChoose={onChoose} />
        ))}
      </ul>
    </details>
  );
}

function SetAsideRow({ alarm, onChoose }: SetAsideProps & { readonly alarm: AlarmMessage }) {
  const { clock, texts } = useApp();
  const reader = useReader(alarm.line);
  const time = useTimeReader();
  const { title } = alarmText(alarm, useNames(), reader);
  return (
    <li className="aside-row" data-alarm={alarm.id} data-state={alarm.state}>
      <button type="button" className="aside-title" onClick={() => onChoose(alarm)}>
        {title}
      </button>
      <time className="soft" dateTime={new Date(alarm.raisedMs).toISOString()}>
        {recentText(alarm.raisedMs, clock.nowMs(), time)}
      </time>
      <p className="aside-why soft">
        <AlarmStanding alarm={alarm} /> · {texts.format.priority[alarm.priority]}
      </p>
      <div className="aside-actions">
        <AlarmActions alarm={alarm} />
      </div>
    </li>
  );
}
