import { memo } from 'react';
import type { AlarmMessage } from '../../server/contract/alarm-message.ts';
import { alarmText } from '../../server/contract/format/alarm-text.ts';
import { recentText } from '../../server/contract/format/time-text.ts';
import { isUnacknowledged } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import { useNames, useReader, useTimeReader } from '../live/use-live.ts';
import { AcknowledgeButton } from './acknowledge-button.tsx';
import { PriorityBar } from './priority-bar.tsx';
import './alarm-card.css';

/** One alarm: what, since when, what to do, and how it stands. Colour, the bar's form and the word say how urgent. */
export const AlarmCard = memo(function AlarmCard({ alarm }: { readonly alarm: AlarmMessage }) {
  const { clock } = useApp();
  const names = useNames();
  const reader = useReader(alarm.line);
  const time = useTimeReader();
  const text = alarmText(alarm, names, reader);
  const isOpen = isUnacknowledged(alarm);
  return (
    <li className={`alarm priority-${alarm.priority}`} data-alarm={alarm.id} data-state={alarm.state}>
      <PriorityBar priority={alarm.priority} isBlinking={isOpen && alarm.priority === 'critical'} />
      <div className="alarm-body">
        <div className="alarm-head">
          <h3 className="alarm-title">{text.title}</h3>
          <time dateTime={new Date(alarm.raisedMs).toISOString()}>
            {recentText(alarm.raisedMs, clock.nowMs(), time)}
          </time>
        </div>
        <p>
          {text.detail} {text.advice}
        </p>
        <div className="alarm-foot">
          {isOpen && <AcknowledgeButton alarm={alarm} title={text.title} />}
          <span>
            <AlarmStanding alarm={alarm} /> · {reader.words.priority[alarm.priority]}
          </span>
        </div>
      </div>
    </li>
  );
});

function AlarmStanding({ alarm }: { readonly alarm: AlarmMessage }) {
  const { texts, clock } = useApp();
  const time = useTimeReader();
  const at = (timeMs: number) => recentText(timeMs, clock.nowMs(), time);
  if (alarm.state === 'acknowledged' && alarm.acknowledged !== null) {
    return texts.alarms.acknowledgedBy(at(alarm.acknowledged.timeMs), alarm.acknowledged.by);
  }
  if (alarm.state === 'returned-unacknowledged' && alarm.clearedMs !== null) {
    return texts.alarms.clearedAt(at(alarm.clearedMs));
  }
  return texts.format.alarmState[alarm.state];
}
