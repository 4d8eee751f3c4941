import type { AlarmMessage } from '../../server/contract/alarm-message.ts';
import { useApp } from '../live/app-context.ts';
import { useCommand } from './use-command.ts';
import { useConnection } from '../live/use-live.ts';

interface AcknowledgeProps {
  readonly alarm: AlarmMessage;
  readonly title: string;
}

/** Acknowledges under a person's name. The list changes when the server says so, not before. */
export function AcknowledgeButton({ alarm, title }: AcknowledgeProps) {
  const words = useApp().texts.alarms;
  const isLive = useConnection().state === 'live';
  const { send, isSending, problem } = useCommand();
  return (
    <>
      <button
        type="button"
        className="button"
        aria-label={words.acknowledgeOf(title)}
        disabled={!isLive}
        data-acknowledge
        onClick={() => void send({ kind: 'acknowledge-alarm', alarm: alarm.id })}
      >
        {isSending ? words.sending : words.acknowledge}
      </button>
      <CommandProblem problem={problem} />
    </>
  );
}

export function CommandProblem({ problem }: { readonly problem: string }) {
  if (problem === '') return null;
  return (
    <span role="alert" className="alarm-problem">
      {problem}
    </span>
  );
}
