import { memo, type ReactNode } from 'react';
import type { AlarmMessage } from '../../server/contract/alarm-message.ts';
import { alarmText } from '../../server/contract/format/alarm-text.ts';
import { recentText } from '../../server/contract/format/time-text.ts';
import { isUnacknowledged } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import { useNames, useReader, useTimeReader } from '../live/use-live.ts';
import { AcknowledgeButton } from './acknowledge-button.tsx';
import { PriorityBar } from './priority-bar.tsx';
import './alarm-card.css';

interface AlarmCardProps {
  readonly alarm: AlarmMessage;
  readonly isSelected?: boolean;
  readonly onSelect?: (alarm: AlarmMessage) => void;
  /** What else can be done about it, behind the acknowledge button. */
  readonly children?: ReactNode;
}

/** One alarm: what, since when, what to do, and how it stands. Colour, the bar's form and the word say how urgent. */
export const AlarmCard = memo(function AlarmCard(props: AlarmCardProps) {
  const { alarm, isSelected = false, onSelect, children } = props;
  const { clock } = useApp();
  const names = useNames();
  const reader = useReader(alarm.line);
  const time = useTimeReader();
  const text = alarmText(alarm, names, reader);
  const isOpen = isUnacknowledged(alarm);
  return (
    <li
      className={`alarm priority-${alarm.priority}`}
      data-alarm={alarm.id}
      data-state={alarm.state}
      data-selected={isSelected || undefined}
      tabIndex={-1}
      onFocus={onSelect && (() => onSelect(alarm))}
      onClick={onSelect && (() => onSelect(alarm))}
    >
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
          {children}
          <span>
            <AlarmStanding alarm={alarm} /> · {reader.words.priority[alarm.priority]}
          </span>
        </div>
      </div>
    </li>
  );
});

/** How it stands, and by whom. */
export function AlarmStanding({ alarm }: { readonly alarm: AlarmMessage }) {
  const { texts, clock } = useApp();
  const time = useTimeReader();
  const words = texts.alarms;
  const at = (timeMs: number) => recentText(timeMs, clock.nowMs(), time);
  const { state, acknowledged, clearedMs, shelved, outOfService } = alarm;
  if (state === 'acknowledged' && acknowledged !== null) {
    return words.acknowledgedBy(at(acknowledged.timeMs), acknowledged.by);
  }
  if (state === 'returned-unacknowledged' && clearedMs !== null) return words.clearedAt(at(clearedMs));
  if (state === 'shelved' && shelved !== undefined) {
    const until = shelved.isOneShot ? words.shelvedOnce : words.shelvedUntil;
    return `${until(at(shelved.untilMs), shelved.by)}. ${words.because(shelved.reason)}`;
  }
  if (state === 'out-of-service' && outOfService !== undefined) {
    const since = words.outOfServiceSince(at(outOfService.timeMs), outOfService.by);
    return `${since}. ${words.because(outOfService.reason)}`;
  }
  return texts.format.alarmState[state];
}
