import { useState } from 'react';
import type { Command } from '../../server/contract/commands.ts';
import { useAskActor } from './actor-prompt.tsx';
import { useApp } from '../live/app-context.ts';
import { sendCommand } from '../live/plant-api.ts';

export interface CommandSender {
  readonly isSending: boolean;
  /** Why the last one was not done, in words; empty while there is nothing to say. */
  readonly problem: string;
  /** Sends it under a person's name, asking who acts if nobody is known; answers whether it was done. */
  readonly send: (command: Command) => Promise<boolean>;
}

/** Gives commands to the server. What is shown changes when the server says so, not before. */
export function useCommand(): CommandSender {
  const { texts } = useApp();
  const askActor = useAskActor();
  const [isSending, setSending] = useState(false);
  const [problem, setProblem] = useState('');

  const send = async (command: Command) => {
    const actor = await askActor();
    if (actor === null) return false;
    setSending(true);
    try {
      const result = await sendCommand({ actor, command });
      setProblem(result.done ? '' : texts.alarms.refused(result.refused));
      return result.done;
    } catch {
      setProblem(texts.alarms.notSent);
      return false;
    } finally {
      setSending(false);
    }
  };
  return { isSending, problem, send };
}
