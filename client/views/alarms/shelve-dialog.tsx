import type { AlarmMessage } from '../../../server/contract/alarm-message.ts';
import type { Command } from '../../../server/contract/commands.ts';
import { useApp } from '../../live/app-context.ts';
import { OrderDialog } from '../../parts/order-dialog.tsx';

export interface OrderProps {
  readonly alarm: AlarmMessage;
  readonly title: string;
  readonly isSending: boolean;
  readonly onClose: () => void;
  readonly onCommand: (command: Command) => void;
}

const MINUTE_MS = 60_000;
const DURATIONS = { min15: 15, hour1: 60, hour4: 240, hour12: 720 } as const;
const NAMES = ['min15', 'hour1', 'hour4', 'hour12'] as const;

/** For how long, or until it has gone once, and why. */
export function ShelveDialog({ alarm, title, isSending, onClose, onCommand }: OrderProps) {
  const words = useApp().texts.alarms.shelving;
  const confirm = (form: FormData, reason: string) => {
    const name = NAMES.find((one) => one === form.get('duration')) ?? 'min15';
    const forMs = DURATIONS[name] * MINUTE_MS;
    onCommand({ kind: 'shelve-alarm', alarm: alarm.id, forMs, isOneShot: form.get('once') !== null, reason });
  };
  return (
    <OrderDialog
      title={words.title(title)}
      about={words.about}
      confirm={words.confirm}
      isSending={isSending}
      onClose={onClose}
      onConfirm={confirm}
    >
      <label className="dialog-field">
        {words.duration}
        <select className="input" name="duration" defaultValue="hour1">
          {NAMES.map((name) => (
            <option key={name} value={name}>
              {words.durations[name]}
            </option>
          ))}
        </select>
      </label>
      <label className="dialog-check">
        <input type="checkbox" name="once" /> {words.once}
      </label>
    </OrderDialog>
  );
}
