import { useState } from 'react';
import type { AlarmMessage } from '../../server/contract/alarm-message.ts';
import { useApp } from '../live/app-context.ts';
import { sendCommand } from '../live/plant-api.ts';
import { useConnection } from '../live/use-live.ts';
import { useAskActor } from './actor-prompt.tsx';

interface AcknowledgeProps {
  readonly alarm: AlarmMessage;
  readonly title: string;
}

/** Acknowledges under a person's name. The list changes when the server says so, not before. */
export function AcknowledgeButton({ alarm, title }: AcknowledgeProps) {
  const { texts } = useApp();
  const words = texts.alarms;
  const askActor = useAskActor();
  const isLive = useConnection().state === 'live';
  const [isSending, setSending] = useState(false);
  const [problem, setProblem] = useState('');

  const acknowledge = async () => {
    const actor = await askActor();
    if (actor === null) return;
    setSending(true);
    try {
      const result = await sendCommand({ actor, command: { kind: 'acknowledge-alarm', alarm: alarm.id } });
      setProblem(result.done ? '' : words.refused(result.refused));
    } catch {
      setProblem(words.notSent);
    }
    setSending(false);
  };

  return (
    <>
      <button
        type="button"
        className="button"
        aria-label={words.acknowledgeOf(title)}
        disabled={!isLive}
        onClick={() => void acknowledge()}
      >
        {isSending ? words.sending : words.acknowledge}
      </button>
      {problem !== '' && (
        <span role="alert" className="alarm-problem">
          {problem}
        </span>
      )}
    </>
  );
}
