import { useState } from 'react';
import { PRIORITIES, type AlarmMessage, type Priority } from '../../../server/contract/alarm-message.ts';
import { byPriority, isSetAside, isUnacknowledged } from '../../live/alarm-order.ts';
import { useApp } from '../../live/app-context.ts';
import { useConnection, useStore } from '../../live/use-live.ts';
import { CommandProblem } from '../../parts/acknowledge-button.tsx';
import { AlarmCard } from '../../parts/alarm-card.tsx';
import { AlarmRows } from '../../parts/alarm-rows.tsx';
import { useCommand } from '../../parts/use-command.ts';
import { AlarmActions } from './alarm-actions.tsx';

interface ChoiceProps {
  readonly chosen: AlarmMessage | null;
  readonly onChoose: (alarm: AlarmMessage) => void;
}

/** The alarms that ask for somebody, by priority, then the newest; all or those of one priority. */
export function StandingAlarms({ chosen, onChoose }: ChoiceProps) {
  const { stores, texts } = useApp();
  const [priority, setPriority] = useState<Priority | null>(null);
  const [selected, setSelected] = useState<ReadonlySet<string>>(new Set());
  const isLive = useConnection().state === 'live';
  const standing = byPriority(useStore(stores.alarms).filter((alarm) => !isSetAside(alarm)));
  const shown = standing.filter((alarm) => priority === null || alarm.priority === priority);
  const toggle = (id: string) => {
    const others = [...selected].filter((one) => one !== id);
    setSelected(new Set(selected.has(id) ? others : [...others, id]));
  };
  if (standing.length === 0) {
    return (
      <p className="alarm-list-empty soft">
        {isLive ? texts.alarms.none : texts.alarms.noneWithoutConnection}
      </p>
    );
  }
  return (
    <>
      <div className="alarms-tools">
        <PriorityChoice standing={standing} priority={priority} onChoose={setPriority} />
        <AcknowledgeSeveral shown={shown} selected={selected} onDone={() => setSelected(new Set())} />
      </div>
      <p className="alarms-keys soft">{texts.alarms.keys}</p>
      {shown.length === 0 && <p className="alarm-list-empty soft">{texts.alarms.noneShown}</p>}
      <AlarmRows>
        {shown.map((alarm) => (
          <AlarmCard key={alarm.id} alarm={alarm} isSelected={alarm.id === chosen?.id} onSelect={onChoose}>
            <AlarmActions
              alarm={alarm}
              isSelected={selected.has(alarm.id)}
              onSelect={() => toggle(alarm.id)}
            />
          </AlarmCard>
        ))}
      </AlarmRows>
    </>
  );
}

interface PriorityChoiceProps {
  readonly standing: readonly AlarmMessage[];
  readonly priority: Priority | null;
  readonly onChoose: (priority: Priority | null) => void;
}

function PriorityChoice({ standing, priority, onChoose }: PriorityChoiceProps) {
  const { texts } = useApp();
  const countOf = (one: Priority) => standing.filter((alarm) => alarm.priority === one).length;
  return (
    <label>
      {texts.alarms.priorityShown}{' '}
      <select
        className="input"
        value={priority ?? ''}
        onChange={(event) => onChoose(PRIORITIES.find((one) => one === event.target.value) ?? null)}
      >
        <option value="">{`${texts.alarms.anyPriority} (${standing.length})`}</option>
        {PRIORITIES.map((one) => (
          <option key={one} value={one}>{`${texts.format.priority[one]} (${countOf(one)})`}</option>
        ))}
      </select>
    </label>
  );
}

interface SeveralProps {
  readonly shown: readonly AlarmMessage[];
  readonly selected: ReadonlySet<string>;
  readonly onDone: () => void;
}

function AcknowledgeSeveral({ shown, selected, onDone }: SeveralProps) {
  const words = useApp().texts.alarms;
  const isLive = useConnection().state === 'live';
  const { send, isSending, problem } = useCommand();
  const open = shown.filter(isUnacknowledged);
  const picked = open.filter(({ id }) => selected.has(id));
  const meant = picked.length > 0 ? picked : open;
  const acknowledge = async () => {
    const alarms = meant.map(({ id }) => id);
    if (await send({ kind: 'acknowledge-alarms', alarms })) onDone();
  };
  const label = picked.length > 0 ? words.acknowledgeSelected : words.acknowledgeShown;
  return (
    <>
      <button
        type="button"
        className="button"
        disabled={!isLive || meant.length === 0}
        onClick={() => void acknowledge()}
      >
        {isSending ? words.sending : label(meant.length)}
      </button>
      <CommandProblem problem={problem} />
    </>
  );
}
