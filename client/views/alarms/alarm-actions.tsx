import { useState } from 'react';
import type { AlarmMessage } from '../../../server/contract/alarm-message.ts';
import type { Command } from '../../../server/contract/commands.ts';
import { alarmText } from '../../../server/contract/format/alarm-text.ts';
import { isUnacknowledged } from '../../live/alarm-order.ts';
import { useApp } from '../../live/app-context.ts';
import { useConnection, useNames, useReader } from '../../live/use-live.ts';
import { CommandProblem } from '../../parts/acknowledge-button.tsx';
import { useCommand } from '../../parts/use-command.ts';
import { ServiceDialog } from './service-dialog.tsx';
import { ShelveDialog } from './shelve-dialog.tsx';

interface ActionsProps {
  readonly alarm: AlarmMessage;
  /** Whether it is marked for acknowledging several at once. */
  readonly isSelected?: boolean;
  readonly onSelect?: () => void;
}

/** What else a person may do about an alarm, as far as its state allows. */
export function AlarmActions({ alarm, isSelected = false, onSelect }: ActionsProps) {
  const words = useApp().texts.alarms;
  const { title } = alarmText(alarm, useNames(), useReader(alarm.line));
  const sender = useCommand();
  const [asks, setAsks] = useState<'shelve' | 'service' | null>(null);
  const act = async (command: Command) => {
    if (await sender.send(command)) setAsks(null);
  };
  const isOut = alarm.state === 'out-of-service';
  const common = { alarm, title, isSending: sender.isSending, onClose: () => setAsks(null), onCommand: act };
  return (
    <>
      {onSelect !== undefined && isUnacknowledged(alarm) && (
        <label className="alarm-select">
          <input
            type="checkbox"
            checked={isSelected}
            onChange={onSelect}
            aria-label={words.selectOf(title)}
          />
          {words.select}
        </label>
      )}
      <StateAction alarm={alarm} title={title} onCommand={act} onShelve={() => setAsks('shelve')} />
      <ActionButton
        text={isOut ? words.putBack : words.takeOut}
        label={isOut ? words.putBackOf(title) : words.takeOutOf(title)}
        onClick={() => setAsks('service')}
      />
      <CommandProblem problem={sender.problem} />
      {asks === 'shelve' && <ShelveDialog {...common} />}
      {asks === 'service' && <ServiceDialog {...common} isOut={isOut} />}
    </>
  );
}

interface StateActionProps {
  readonly alarm: AlarmMessage;
  readonly title: string;
  readonly onCommand: (command: Command) => Promise<void>;
  readonly onShelve: () => void;
}

function StateAction({ alarm: { id, state }, title, onCommand, onShelve }: StateActionProps) {
  const words = useApp().texts.alarms;
  if (state === 'shelved') {
    const unshelve = () => void onCommand({ kind: 'unshelve-alarm', alarm: id });
    return <ActionButton text={words.unshelve} label={words.unshelveOf(title)} onClick={unshelve} />;
  }
  if (!SHELVABLE.has(state)) return null;
  const reset = () => void onCommand({ kind: 'reset-alarm', alarm: id });
  return (
    <>
      {state === 'latched-acknowledged' && (
        <ActionButton text={words.reset} label={words.resetOf(title)} onClick={reset} />
      )}
      <ActionButton text={words.shelve} label={words.shelveOf(title)} onClick={onShelve} />
    </>
  );
}

const SHELVABLE: ReadonlySet<AlarmMessage['state']> = new Set([
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'latched-unacknowledged',
  'latched-acknowledged',
]);

interface ActionButtonProps {
  readonly text: string;
  readonly label: string;
  readonly onClick: () => void;
}

function ActionButton({ text, label, onClick }: ActionButtonProps) {
  const isLive = useConnection().state === 'live';
  return (
    <button
      type="button"
      className="button button-quiet"
      aria-label={label}
      disabled={!isLive}
      onClick={onClick}
    >
      {text}
    </button>
  );
}
